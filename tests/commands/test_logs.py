"""The log of a running service: plain lines with a time, without content, and bounded."""

from __future__ import annotations

import io
import logging
import re
import socket
import sqlite3
from contextlib import closing
from typing import TYPE_CHECKING, Any

import pytest

from coach.commands.logs import MOST_LINES, SPAN, Lines
from coach.store.engine import make_engine
from commands.running import served

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from commands.running import Served

MARKER = "PlumJam"
TIME = r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\+00:00"


class Log:
    """A log of its own, with a clock that a test can move."""

    def __init__(self) -> None:
        self.stream = io.StringIO()
        self.now = 0.0
        self.handler = Lines(self.stream, lambda: self.now)

    def tell(self, name: str, message: object, *values: object, **more: Any) -> None:  # noqa: ANN401  of a record
        error = more.pop("error", None)
        info = (type(error), error, error.__traceback__) if error else None
        record = logging.LogRecord(name, logging.WARNING, "x.py", 1, message, values, info)
        record.__dict__.update(more)
        self.handler.handle(record)

    @property
    def lines(self) -> list[str]:
        return self.stream.getvalue().splitlines()


@pytest.fixture
def log() -> Iterator[Log]:
    found = Log()
    yield found
    found.handler.close()


def _raised(error: Exception) -> Exception:
    def fail() -> None:
        raise error

    with pytest.raises(type(error)) as caught:
        fail()
    return caught.value


def test_a_line_has_its_time_level_and_what_was_told(log: Log) -> None:
    log.tell("coach.events", "host, %s %s", "GET", "/today")
    assert re.fullmatch(rf"{TIME} WARNING coach\.events: host, GET /today", log.lines[0])


def test_what_a_library_puts_into_its_message_is_left_out(log: Log) -> None:
    log.tell("uvicorn.error", "Got %s", MARKER)
    log.tell("asyncio", f"Task exception was never retrieved\nfuture: {MARKER}")
    log.tell("multipart", ValueError(MARKER))
    log.tell("uvicorn.error", "Exception\n", error=_raised(KeyError(MARKER)))
    said = [re.sub(r"[0-9]+$", "1", line.partition(": ")[2]) for line in log.lines]
    assert said == [
        "Got %s",
        "Task exception was never retrieved",
        "ValueError",
        "Exception KeyError at commands/test_logs.py:1",
    ]


def test_a_line_break_makes_no_line_of_its_own(log: Log) -> None:
    log.tell("coach.coaching.library", "The lessons stay as they were: %s", "a\nb")
    assert len(log.lines) == 1


def test_a_flood_is_counted_and_other_kinds_are_still_told(log: Log) -> None:
    for _ in range(1000):
        log.tell("coach.events", "host", kind="host")
    log.tell("coach.events", "store", kind="store")
    assert len(log.lines) == MOST_LINES + 1
    log.now = SPAN
    log.tell("coach.events", "host", kind="host")
    assert log.lines[-2].endswith(
        f"host: {1000 - MOST_LINES} more within 60 seconds, which are not written one by one"
    )
    assert len(log.lines) == MOST_LINES + 3


def test_what_was_counted_is_said_at_the_end(log: Log) -> None:
    for _ in range(MOST_LINES + 5):
        log.tell("uvicorn.error", "Invalid HTTP request received.")
    log.handler.close()
    assert "uvicorn.error: 5 more" in log.lines[-1]


@pytest.mark.parametrize("url", ["sqlite:///{}/home.db", "postgresql://home@localhost/home"])
def test_no_engine_repeats_what_a_statement_was_given(url: str, tmp_path: Path) -> None:
    engine = make_engine(url.format(tmp_path))
    assert engine.hide_parameters
    engine.dispose()


def _raw(running: Served, content: bytes) -> bytes:
    """Send bytes that need not be HTTP, and read what comes back."""
    host, port = running.address.removeprefix("http://").split(":")
    with closing(socket.create_connection((host, int(port)), timeout=10)) as connection:
        connection.sendall(content)
        return b"".join(iter(lambda: connection.recv(65536), b""))


def _sent(running: Served, method: str, path: str, body: str, *headers: str) -> bytes:
    host = running.address.removeprefix("http://")
    head = [f"{method} {path} HTTP/1.1", f"host: {host}", "connection: close", *headers]
    head.append(f"content-length: {len(body.encode())}")
    return _raw(running, "\r\n".join([*head, "", body]).encode())


def test_a_running_service_writes_nothing_that_was_sent_or_stored(tmp_path: Path) -> None:
    database = tmp_path / "home.db"
    json = "content-type: application/json"
    with served("serve", "--database", f"sqlite:///{database}", "--today", "2027-01-04") as running:
        _sent(running, "POST", "/api/start", "{}", json)
        _raw(running, f"{MARKER} {MARKER}\r\n{MARKER}\r\n\r\n".encode())
        _raw(running, f"GET /{MARKER} HTTP/1.1\r\nhost: {MARKER}\r\nconnection: close\r\n\r\n".encode())
        _sent(running, "POST", f"/desk/{MARKER}", MARKER, "origin: http://elsewhere.example", json)
        with closing(sqlite3.connect(database)) as other:
            other.execute("DROP TABLE plan_log")
        answer = _sent(running, "POST", "/api/to-dos", f'{{"titles": ["{MARKER}"]}}', json)
        assert b" 500 " in answer.partition(b"\r\n")[0]
        running.process.terminate()
        said, _ = running.process.communicate(timeout=20)
    assert MARKER.lower() not in said.lower()
    kinds = [line.split(": ", 1)[1].partition(",")[0] for line in said.splitlines()]
    assert kinds == ["Invalid HTTP request received.", "host", "cross-site", "failure"]
    assert all(re.match(TIME, line) for line in said.splitlines())
