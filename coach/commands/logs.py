"""The log of a running service: a line for each event, with its time and without content, and not endless."""

from __future__ import annotations

import logging
import sys
import threading
import time
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING, TextIO

from coach.web.events import ALREADY_TOLD, raised

if TYPE_CHECKING:
    from collections.abc import Callable

MOST_LINES = 20
"""So many lines of a kind are written within a span; the rest are counted."""

SPAN = 60.0
"""Seconds."""


def set_up() -> None:
    """Send everything that is logged, warnings and what nobody caught to the error output in this form."""
    logging.basicConfig(handlers=[Lines(sys.stderr)], level=logging.WARNING, force=True)
    # Who was let in is nothing to see to, but something to look up.
    logging.getLogger("coach.events").setLevel(logging.INFO)
    logging.captureWarnings(capture=True)
    threading.excepthook = _uncaught
    sys.unraisablehook = _uncaught


def _uncaught(found: threading.ExceptHookArgs | sys.UnraisableHookArgs) -> None:
    if found.exc_value is not None:
        logging.getLogger("coach.events").error("failure beside a request: %s", raised(found.exc_value))


class Plain(logging.Formatter):
    """Time (UTC, ISO 8601), level, and one line that holds nothing of what was sent or stored.

    Our own lines are made so. Of a library's only the fixed part of the message is written, without what was
    to be put into it, and of an exception where it was raised and not what it says.
    """

    def format(self, record: logging.LogRecord) -> str:
        """The line of a record."""
        when = datetime.fromtimestamp(record.created, UTC).isoformat(timespec="seconds")
        line = f"{when} {record.levelname} {record.name}: {_said(record)}"
        error = record.exc_info and record.exc_info[1]
        return f"{line} {raised(error)}" if error else line


def _said(record: logging.LogRecord) -> str:
    if record.name.startswith("coach."):
        return " ".join(record.getMessage().split())
    words = record.msg if isinstance(record.msg, str) else type(record.msg).__name__
    return next(iter(words.splitlines()), "")


@dataclass(slots=True)
class _Count:
    begun: float
    lines: int = 0
    left: int = 0


class Lines(logging.StreamHandler[TextIO]):
    """Writes lines, of each kind no more than `MOST_LINES` in a span, and then how many were left out."""

    def __init__(self, stream: TextIO, clock: Callable[[], float] = time.monotonic) -> None:
        super().__init__(stream)
        self.setFormatter(Plain())
        self.addFilter(_is_new)
        self._clock = clock
        self._counts: dict[str, _Count] = {}

    def emit(self, record: logging.LogRecord) -> None:
        """Write a record, or count it."""
        kind = str(getattr(record, "kind", record.name))
        now = self._clock()
        self._tell_left(lambda count: now - count.begun >= SPAN)
        count = self._counts.setdefault(kind, _Count(now))
        if count.lines >= MOST_LINES:
            count.left += 1
            return
        count.lines += 1
        super().emit(record)

    def close(self) -> None:
        """Say what was left out last."""
        with self.lock or threading.Lock():
            self._tell_left(lambda _: True)
        super().close()

    def _tell_left(self, is_over: Callable[[_Count], bool]) -> None:
        for kind, count in list(self._counts.items()):
            if is_over(count):
                del self._counts[kind]
                if count.left:
                    super().emit(_left_out(kind, count.left))


def _left_out(kind: str, left: int) -> logging.LogRecord:
    text = f"{kind}: {left} more within {SPAN:.0f} seconds, which are not written one by one"
    return logging.LogRecord("coach.events", logging.WARNING, __file__, 0, text, None, None)


def _is_new(record: logging.LogRecord) -> bool:
    """Whether the record tells of something that has no line yet."""
    error = record.exc_info and record.exc_info[1]
    return ALREADY_TOLD not in getattr(error, "__notes__", ())
