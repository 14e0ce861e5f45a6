"""`coach serve` as a process of its own, on a filled home, to be killed and started again."""

from __future__ import annotations

import json
import os
import re
import signal
import subprocess
import time
from contextlib import closing
from http.client import HTTPConnection, HTTPException
from typing import TYPE_CHECKING, Any

from coach.app import create_app
from coach.coaching.demo import furnish, tern_street, their_day
from coach.household import data
from coach.progress.csvform import write_log
from coach.settings import Settings
from coach.web.callers import HOUSEHOLD
from commands.running import COACH, PATIENCE

if TYPE_CHECKING:
    from pathlib import Path

NO_ANSWER = (OSError, HTTPException)
"""What comes instead of an answer when the other side is gone."""
STARTS_WITHIN = 180
"""Seconds that a busy machine may take until the service listens."""


def fill_home(file: Path) -> None:
    """Make a database with the weeks and the plan of Tern Street up to today."""
    context = create_app(Settings(database=f"sqlite:///{file}")).state.context
    with closing(context.store):
        today = their_day(context.clock())
        course = context.library.course(context.course)
        data.load(context, HOUSEHOLD, write_log(tern_street(course, today)))
        furnish(context, HOUSEHOLD, today)


class Service:
    """One service on one database, with what it says written to a file beside it.

    Attributes:
        file: The database.
        port: Where it listens, once it has been started.
    """

    def __init__(self, file: Path, log: Path, **environment: str) -> None:
        self.file = file
        self.port = 0
        self._log = log
        self._environment = {**os.environ, "PYTHONUNBUFFERED": "1", **environment}
        self._process: subprocess.Popen[bytes] | None = None

    @property
    def url(self) -> str:
        """The database's URL."""
        return f"sqlite:///{self.file}"

    @property
    def said(self) -> str:
        """All that it has said since it was first started."""
        return self._log.read_text(encoding="utf-8", errors="replace")

    def start(self) -> bool:
        """Start it, and say whether it listens; what it says instead is in `said`."""
        before = self._log.stat().st_size if self._log.exists() else 0
        command = [*COACH, "serve", "--database", self.url, "--port", "0"]
        with self._log.open("ab") as log:
            self._process = subprocess.Popen(command, stdout=log, stderr=log, env=self._environment)
        ends = time.monotonic() + STARTS_WITHIN
        while time.monotonic() < ends and self._process.poll() is None:
            found = re.search(rb"http://\S+:(\d+)", self._log.read_bytes()[before:])
            if found is not None:
                self.port = int(found[1])
                return True
            time.sleep(0.02)
        self.end()
        return False

    def kill(self) -> None:
        """Kill it at once, as a power cut would."""
        self._end(signal.SIGKILL)

    def end(self) -> None:
        """End it as Ctrl+C does."""
        self._end(signal.SIGTERM)

    def _end(self, how: signal.Signals) -> None:
        if self._process is not None:
            self._process.send_signal(how)
            self._process.wait(PATIENCE)
            self._process = None

    def coach(self, *arguments: object) -> subprocess.CompletedProcess[str]:
        """Run another command as a process of its own, with the same environment."""
        command = [*COACH, *map(str, arguments)]
        return subprocess.run(command, check=False, capture_output=True, text=True, env=self._environment)


class Client:
    """One connection to a service, kept while both sides keep it."""

    def __init__(self, port: int) -> None:
        self._http = HTTPConnection("127.0.0.1", port, timeout=PATIENCE)

    def ask(
        self, method: str, path: str, body: bytes | None = None, headers: dict[str, str] | None = None
    ) -> tuple[int, dict[str, str], bytes]:
        """Send a request, and give status, headers in lower case and body of the answer."""
        try:
            self._http.request(method, path, body, headers or {})
            answer = self._http.getresponse()
            content = answer.read()
        except BaseException:
            self._http.close()
            raise
        return answer.status, {name.lower(): value for name, value in answer.getheaders()}, content

    def json(self, method: str, path: str, body: object = None) -> tuple[int, Any]:
        """Send JSON, and give status and the value of the answer."""
        sent = None if body is None else json.dumps(body).encode()
        status, _, content = self.ask(
            method, path, sent, {"Content-Type": "application/json"} if sent else {}
        )
        return status, json.loads(content) if content else None

    def close(self) -> None:
        """Let go of the connection."""
        self._http.close()
