"""Where the files of a SQLite database lie, and whether those that are held open still lie there.

A file that is deleted or replaced lives on for whoever has it open. What is written to it then is answered
and gone with the program, so every write asks first.
"""

from __future__ import annotations

import threading
from contextlib import suppress
from typing import TYPE_CHECKING, Any, NamedTuple

from sqlalchemy import event

from coach.errors import StoreError

if TYPE_CHECKING:
    from pathlib import Path

    from sqlalchemy import Connection, Engine

_SEEN = "steading_seen"
"""Where a connection keeps which files it has open."""

STRANGE_LOG = ".replaced-wal"
"""Added to a database's name for the log of a file that was replaced."""

_SAVE = (
    "Nothing is written meanwhile. What was written before is in the file that Steading still holds open: "
    "save it with Download a full backup on the page Data, before Steading ends."
)
GONE = "{file} is not in its place: it was deleted or moved while Steading runs. {save} Then {then}"
REPLACED = "Another file lies in the place of {file}: it was replaced while Steading runs. {save} Then {then}"
PUT_BACK = "put the file back, or end Steading and bring a copy back with `coach restore`."
RESTART = "put the former file back, or start Steading anew to go on with the one that lies there."
UNSEEN = "{file} cannot be looked at: {reason}. Nothing is written until it can."


class Identity(NamedTuple):
    """What tells a file from any other: its device and its number there."""

    device: int
    number: int


class Seen(NamedTuple):
    """The files of a database that lie in their places; none for one that is not there."""

    main: Identity | None
    log: Identity | None


class Place:
    """Watches the connections of an engine.

    Args:
        file: The database's file.
    """

    def __init__(self, file: Path) -> None:
        self._file = file
        self._log = file.with_name(f"{file.name}-wal")
        self._lock = threading.Lock()
        self._open: set[int] = set()
        self._expected: Seen | None = None

    def watch(self, engine: Engine) -> None:
        """Look at every connection from now on."""
        event.listen(engine, "do_connect", self._before)
        event.listen(engine, "connect", self._after)
        event.listen(engine, "close", self._closed)

    def trouble(self) -> str | None:
        """What is wrong with where the files lie, and what to do; None if they lie where they were."""
        return self._between(self._expected)

    def check(self, connection: Connection) -> None:
        """Refuse to write to a file that is not in its place.

        Raises:
            StoreError: It was deleted, moved or replaced.
        """
        self._refuse(self._between(connection.info.get(_SEEN)))

    def leave(self, engine: Engine) -> None:
        """Let go of every connection, and expect whatever file lies there from now on.

        A log that belongs to another file than the one that lies there is set aside, because SQLite would
        read it into that one.
        """
        strange = self._has_strange_log()
        with self._lock:
            self._open, self._expected = set(), None
        engine.dispose()
        if strange:
            with suppress(OSError):
                self._log.replace(self._file.with_name(self._file.name + STRANGE_LOG))

    def _has_strange_log(self) -> bool:
        expected = self._expected
        if expected is None or expected.log is None:
            return False
        with suppress(OSError):
            now = self._look()
            return now.main not in {None, expected.main} and now.log == expected.log
        return False

    def _before(self, *_: object) -> None:
        # To connect would make an empty file in the place of one that is gone.
        self._refuse(self.trouble())

    def _after(self, driver: Any, record: Any) -> None:  # noqa: ANN401  any driver's connection
        # SQLite opens the log with the first read.
        driver.execute("SELECT count(*) FROM sqlite_master").close()
        seen = self._look()
        with self._lock:
            if not self._open:
                self._expected = seen
            expected = self._expected
            self._open.add(id(record))
        record.info[_SEEN] = expected
        if seen != expected:
            driver.close()
            self._refuse(self._between(expected))

    def _closed(self, _driver: object, record: Any) -> None:  # noqa: ANN401  any pool's record
        with self._lock:
            self._open.discard(id(record))
            if not self._open:
                self._expected = None

    def _look(self) -> Seen:
        return Seen(_identity(self._file), _identity(self._log))

    def _between(self, expected: Seen | None) -> str | None:
        try:
            now = self._look()
        except OSError as error:
            return UNSEEN.format(file=f"The database {self._file}", reason=error.strerror)
        found = _said(f"the database {self._file}", expected.main if expected else None, now.main)
        if found is None and expected is not None and expected.log is not None and now.log != expected.log:
            found = _said(f"the file {self._log}, which belongs to the database,", expected.log, now.log)
        return found

    def _refuse(self, trouble: str | None) -> None:
        if trouble is not None:
            raise StoreError(trouble)


def _identity(file: Path) -> Identity | None:
    try:
        found = file.stat()
    except (FileNotFoundError, NotADirectoryError):
        return None
    return Identity(found.st_dev, found.st_ino)


def _said(file: str, before: Identity | None, now: Identity | None) -> str | None:
    if now is None:
        said = GONE.format(file=file, save=_SAVE, then=PUT_BACK)
    elif before is not None and now != before:
        said = REPLACED.format(file=file, save=_SAVE, then=RESTART)
    else:
        return None
    return said[0].upper() + said[1:]
