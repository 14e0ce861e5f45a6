"""The commands as a person runs them: what they end with and say, and a service as a process of its own."""

from __future__ import annotations

import io
import json
import os
import re
import signal
import subprocess
import sys
import urllib.request
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import pytest

from coach.cli import main

if TYPE_CHECKING:
    from collections.abc import Iterator

COACH = (sys.executable, "-m", "coach.cli")
PATIENCE = 30


@dataclass(frozen=True)
class Ended:
    """How a command ended."""

    returncode: int
    stdout: str
    stderr: str


def coach(*arguments: object, text: str = "") -> Ended:
    """Run a command to its end, with `text` as its input."""
    said, complained = io.StringIO(), io.StringIO()
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(text.encode())))
        patch.setattr(sys, "stdout", said)
        patch.setattr(sys, "stderr", complained)
        try:
            status = main([str(argument) for argument in arguments])
        except SystemExit as end:
            status = int(end.code or 0)
    return Ended(status, said.getvalue(), complained.getvalue())


@dataclass
class Served:
    """A running service and its address."""

    process: subprocess.Popen[str]
    address: str

    def get(self, path: str) -> tuple[int, str]:
        with urllib.request.urlopen(self.address + path, timeout=PATIENCE) as answer:  # noqa: S310  the same
            return answer.status, answer.read().decode()

    def send(self, method: str, path: str, body: object) -> Any:  # noqa: ANN401  JSON
        request = urllib.request.Request(  # noqa: S310  our own address
            self.address + path,
            data=json.dumps(body).encode(),
            method=method,
            headers={"Content-Type": "application/json"},
        )
        with urllib.request.urlopen(request, timeout=PATIENCE) as answer:  # noqa: S310  the same
            return json.loads(answer.read())


@contextmanager
def served(*arguments: object, files: int | None = None) -> Iterator[Served]:
    """A command that serves, on a free port, until the block ends, and may have so many files open."""
    bounded = () if files is None else ("sh", "-c", f'ulimit -n {files} && exec "$@"', "sh")
    process = subprocess.Popen(
        [*bounded, *COACH, *map(str, arguments), "--port", "0"],
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        env={**os.environ, "PYTHONUNBUFFERED": "1"},
    )
    assert process.stdout is not None
    try:
        line = process.stdout.readline()
        found = re.search(r"http://\S+:\d+", line)
        assert found is not None, line + process.stdout.read()
        yield Served(process, found[0])
    finally:
        if process.poll() is None:
            process.send_signal(signal.SIGTERM)
        process.wait(PATIENCE)
        process.stdout.close()
