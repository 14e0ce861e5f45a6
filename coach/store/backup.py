"""Backups of a home's database: a whole copy in one file, and the way back from it.

A copy is taken with SQLite's own backup interface, while the service runs. It appears under its name only
when it is whole and on the disk; a restore is one transaction of the database it replaces.
"""

from __future__ import annotations

import shutil
import sqlite3
import time
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from coach.errors import StoreError
from coach.limits import BUSY_SECONDS
from coach.store.engine import make_engine, read_url
from coach.store.failures import BUSY, NOT_OURS, capitalised, code_of, sentence
from coach.store.files import put_in_place, side_files, temporary
from coach.store.migrations import APPLICATION_ID, migrate

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

ASIDE = ".before-restore"
"""Added to a database's name for the copy that is kept while a restore replaces it."""

_WRITING = {sqlite3.SQLITE_FULL, sqlite3.SQLITE_READONLY, sqlite3.SQLITE_IOERR}
_UNREADABLE = {sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_CORRUPT}


@dataclass(frozen=True, slots=True)
class _File:
    """A database file and what a person calls it."""

    path: Path
    name: str

    def open(self, mode: str) -> sqlite3.Connection:
        """A connection to it; the mode is SQLite's `ro`, `rw` or `rwc`."""
        uri = f"{self.path.resolve().as_uri()}?mode={mode}"
        return sqlite3.connect(uri, uri=True, timeout=BUSY_SECONDS)


def backup(url: str, target: Path) -> None:
    """Write a whole copy of the database to a file, which is replaced only by a finished copy.

    Args:
        url: The database's URL.
        target: The file to write.

    Raises:
        StoreError: It is no SQLite database, cannot be read, or the file cannot be written.
    """
    live = _live(url)
    if target.resolve() == live.path.resolve():
        raise StoreError(f"{target} is the database itself. Name another file for the backup.")
    if not live.path.exists():
        raise StoreError(f"There is no database {live.path} yet, so there is nothing to back up.")
    _keep_copy(live, target, f"the backup {target}")


def restore(url: str, source: Path, keep: Callable[[], object] | None = None) -> None:
    """Replace the database by a backup, which is checked first; if anything fails, what was there stays.

    Args:
        url: The database's URL.
        source: A file that `backup` wrote, with this version or an earlier one.
        keep: Called before a database that can be read is replaced; if it fails, nothing is.

    Raises:
        StoreError: The file is damaged, no Steading database or of a newer version, or the disk fails.
    """
    with checked(url, source) as path:
        live = _live(url)
        _replace(live, _File(path, f"the backup {source}"), keep)


@contextmanager
def checked(url: str, source: Path) -> Iterator[Path]:
    """A copy of a backup beside the database, whole and brought up to date; gone at the end.

    Args:
        url: The database's URL.
        source: A file that `backup` wrote, with this version or an earlier one; it stays as it is.

    Raises:
        StoreError: The file is damaged, no Steading database or of a newer version, or the disk fails.
    """
    live = _live(url)
    if not source.is_file():
        raise StoreError(f"There is no file {source}. Name the backup to bring back.")
    if source.resolve() == live.path.resolve():
        raise StoreError(f"{source} is the database itself. Name a backup of it.")
    given = _File(source, f"the backup {source}")
    with temporary(live.path) as path:
        candidate = _File(path, given.name)
        _copy(given, _File(path, live.name))
        _check(candidate)
        yield path


def _live(url: str) -> _File:
    parsed = read_url(url)
    if parsed.get_backend_name() != "sqlite":
        raise StoreError(
            "PostgreSQL has its own tools for this: back up with `pg_dump --format=custom --file=FILE URL`, "
            "and bring it back into an empty database with `pg_restore --dbname=URL FILE`."
        )
    return _File(Path(parsed.database or ""), f"the database {parsed.database}")


def _keep_copy(source: _File, target: Path, name: str) -> None:
    with temporary(target) as path:
        # The last program that closes a database opened for writing leaves no side files behind.
        _copy(source, _File(path, name), mode="rw")
        put_in_place(path, target)


def _copy(source: _File, target: _File, mode: str = "ro") -> None:
    """Copy a database as it stands at one instant into a file of its own, without side files."""
    with _explained(source, target), closing(source.open(mode)) as old, closing(target.open("rw")) as new:
        old.backup(new, progress=_impatience(source))
        # A backup may end on a disk that cannot be written, where a write-ahead log could not be opened.
        new.execute("PRAGMA journal_mode = DELETE").fetchall()


def _check(candidate: _File) -> None:
    """Refuse a backup that is empty, damaged, another program's or newer; bring an earlier one up to date."""
    with _explained(candidate, candidate), closing(candidate.open("rw")) as connection:
        whole = connection.execute("PRAGMA integrity_check(1)").fetchone()[0] == "ok"
        empty = connection.execute("SELECT count(*) FROM sqlite_master").fetchone()[0] == 0
    if empty or not whole:
        state = "empty" if empty else "damaged"
        raise StoreError(
            f"{capitalised(candidate.name)} is {state}, so nothing was changed. Use another one."
        )
    engine = make_engine(f"sqlite:///{candidate.path}")
    try:
        migrate(engine, candidate.name)
    finally:
        engine.dispose()


def _replace(live: _File, candidate: _File, keep: Callable[[], object] | None) -> None:
    if not live.path.exists():
        put_in_place(candidate.path, live.path)
    elif _is_whole(live):
        if keep is not None:
            keep()
        _replace_content(live, candidate)
    else:
        _replace_damaged(live, candidate)


def _replace_content(live: _File, candidate: _File) -> None:
    aside = live.path.with_name(live.path.name + ASIDE)
    _keep_copy(live, aside, f"the copy {aside}")
    try:
        _write_content(live, candidate)
    except StoreError:
        if _is_whole(live):
            aside.unlink()
        raise
    aside.unlink()


def _write_content(live: _File, candidate: _File) -> None:
    # One transaction: whoever has the database open sees the old content, then the new.
    with _explained(candidate, live), closing(candidate.open("ro")) as new, closing(live.open("rw")) as old:
        new.backup(old, progress=_impatience(live))


def _replace_damaged(live: _File, candidate: _File) -> None:
    """Put the backup in the place of an unreadable file, which stays aside for whoever can mend it."""
    aside = live.path.with_name(live.path.name + ASIDE)
    with temporary(aside) as path, _explained(live, live):
        shutil.copyfile(live.path, path)
        put_in_place(path, aside)
    for file in side_files(live.path):
        file.unlink(missing_ok=True)
    put_in_place(candidate.path, live.path)


def _is_whole(live: _File) -> bool:
    """Whether the database can be read through; another program's is not ours to replace."""
    try:
        with closing(live.open("rw")) as connection:
            mark = connection.execute("PRAGMA application_id").fetchone()[0]
            used = connection.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]
            whole = connection.execute("PRAGMA quick_check(1)").fetchone()[0] == "ok"
    except sqlite3.DatabaseError as error:
        if code_of(error) in _UNREADABLE:
            return False
        raise StoreError(sentence(error, live.name) or str(error)) from error
    if used and mark != APPLICATION_ID:
        raise StoreError(capitalised(NOT_OURS.format(name=live.name)))
    return bool(whole)


def _impatience(waited_for: _File) -> Callable[[int, int, int], None]:
    """What ends a copy that waits longer for another program than a writer would."""
    end = time.monotonic() + BUSY_SECONDS

    def check(status: int, _remaining: int, _total: int) -> None:
        if status in {sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED} and time.monotonic() > end:
            raise StoreError(capitalised(BUSY.format(name=waited_for.name)))

    return check


@contextmanager
def _explained(read: _File, written: _File) -> Iterator[None]:
    """Put what the disk or SQLite says into a sentence that names the right file of the two."""
    try:
        yield
    except sqlite3.Error as error:
        name = written.name if code_of(error) in _WRITING else read.name
        said = sentence(error, name)
        raise StoreError(said or f"{capitalised(name)} cannot be copied: {error}.") from error
    except OSError as error:
        raise StoreError(f"{capitalised(written.name)} cannot be written: {error.strerror}.") from error
