"""Backups of a home's database: a whole copy in one file, proved before it counts, and the way back from it.

A copy is taken with SQLite's own backup interface, while the service runs. It appears under its name only
when it is on the disk and holds, row for row, what the database held at one instant. A restore takes the rows
of a file into tables of our own making and is one transaction of the database it replaces.
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
from coach.store import schema
from coach.store.carrying import carry, let_nobody_in
from coach.store.engine import make_engine, read_url
from coach.store.failures import BUSY, NOT_OURS, capitalised, code_of, sentence
from coach.store.files import put_in_place, side_files, temporary
from coach.store.given import differing, given, misfit, take
from coach.store.migrations import APPLICATION_ID, migrate
from coach.store.proving import Tally, damage, protect, strays, tally

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

ASIDE = ".before-restore"
"""Added to a database's name for the copy that is kept while a restore replaces it."""

RESCUE = (
    "What can still be read comes out with `coach export` and at /rescue; an older copy comes back with "
    "`coach restore`."
)

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
        return sqlite3.connect(uri, uri=True, timeout=BUSY_SECONDS, isolation_level=None)


def backup(url: str, target: Path, name: str | None = None, *, faithful: bool = False) -> Tally:
    """Write a proved copy of the database to a file, which is replaced only by a finished copy.

    Args:
        url: The database's URL.
        target: The file to write.
        name: What the person calls that file.
        faithful: Copy also what `restore` would not take, so that it can be kept before it goes.

    Raises:
        StoreError: It is no SQLite database, is damaged or cannot be read, or the file cannot be written.
    """
    live = _live(url)
    if target.resolve() == live.path.resolve():
        raise StoreError(f"{target} is the database itself. Name another file for the backup.")
    if not live.path.exists():
        raise StoreError(f"There is no database {live.path} yet, so there is nothing to back up.")
    # The last program that closes a database opened for writing leaves no side files behind.
    with _explained(live, live), closing(live.open("rw")) as connection:
        protect(connection)
        return _proved(connection, live, _named(target, name), faithful=faithful)


def backup_open(connection: sqlite3.Connection, url: str, target: Path, name: str | None = None) -> Tally:
    """The same of a file that is held open, though it may not lie in its place any more."""
    return _proved(connection, _live(url), _named(target, name), faithful=True)


def restore(
    url: str, source: Path, keep: Callable[[], object] | None = None, name: str | None = None
) -> None:
    """Replace the database by a backup, which is checked first; if anything fails, what was there stays.

    Args:
        url: The database's URL.
        source: A file that `backup` wrote, with this version or an earlier one.
        keep: Called before a database that can be read is replaced; if it fails, nothing is.
        name: What the person calls the file.

    Raises:
        Unusable: The file is damaged, no Steading database or of a newer version.
        StoreError: It cannot be read, or the disk fails.
    """
    with checked(url, source, name) as path:
        live = _live(url)
        _replace(live, _File(path, _named(source, name).name), keep)


@contextmanager
def checked(url: str, source: Path, name: str | None = None) -> Iterator[Path]:
    """The rows of a backup in a file beside the database, whole and brought up to date; gone at the end.

    Args:
        url: The database's URL.
        source: A file that `backup` wrote, with this version or an earlier one; it stays as it is.
        name: What the person calls it.

    Raises:
        Unusable: The file is damaged, no Steading database or of a newer version.
        StoreError: It cannot be read, or the disk fails.
    """
    live = _live(url)
    if not source.is_file():
        raise StoreError(f"There is no file {source}. Name the backup to bring back.")
    if source.resolve() == live.path.resolve():
        raise StoreError(f"{source} is the database itself. Name a backup of it.")
    called = _named(source, name).name
    with temporary(live.path) as path:
        with given(source, called) as found, _written(live), closing(_File(path, called).open("rw")) as new:
            take(found, new)
        _bring_up_to_date(path, called)
        yield path


def _named(file: Path, name: str | None) -> _File:
    return _File(file, f"the backup {name or file}")


def _live(url: str) -> _File:
    parsed = read_url(url)
    if parsed.get_backend_name() != "sqlite":
        raise StoreError(
            "PostgreSQL has its own tools for this: back up with `pg_dump --format=custom --file=FILE URL`, "
            "and bring it back into an empty database with `pg_restore --dbname=URL FILE`."
        )
    return _File(Path(parsed.database or ""), f"the database {parsed.database}")


def _proved(source: sqlite3.Connection, live: _File, target: _File, *, faithful: bool) -> Tally:
    """Copy a database as it stands at one instant, and prove both before the copy gets its name."""
    with temporary(target.path) as path:
        copy = _File(path, target.name)
        source.execute("BEGIN").close()
        try:
            told = _told(source, live, target, faithful=faithful)
            _copy(source, live, copy)
        finally:
            source.rollback()
        with _explained(copy, copy), closing(copy.open("ro")) as written:
            if damage(written) or tally(written) != told:
                raise StoreError(
                    f"{capitalised(target.name)} did not come out as the database is, so it was not kept. "
                    "Check the disk it goes to, or name a file on another."
                )
        put_in_place(path, target.path)
    return told


def _told(source: sqlite3.Connection, live: _File, target: _File, *, faithful: bool) -> Tally:
    """All rows of a database, once it was found whole and, if it is to come back, as a restore takes it."""
    try:
        wrong = damage(source) or (None if faithful else strays(source))
        told = tally(source)
    except sqlite3.DatabaseError as error:
        if code_of(error) != sqlite3.SQLITE_CORRUPT:
            raise
        wrong = str(error)
    if wrong is None:
        _refuse_others(told, live)
        wrong = None if faithful else _unfit(source, live, target)
    if wrong is not None:
        raise StoreError(f"{capitalised(live.name)} is damaged ({wrong}), {_none_made(target)} {RESCUE}")
    return told


def _refuse_others(told: Tally, live: _File) -> None:
    """Refuse a database that holds nothing, or is another program's."""
    if not told.rows:
        raise StoreError(f"{capitalised(live.name)} holds nothing yet, so there is nothing to back up.")
    if told.mark != APPLICATION_ID:
        raise StoreError(capitalised(NOT_OURS.format(name=live.name)))


def _unfit(source: sqlite3.Connection, live: _File, target: _File) -> str | None:
    """Which value a restore would not take, of tables that it would."""
    if other := differing(source):
        raise StoreError(
            f"{capitalised(live.name)} is not as Steading makes it: {schema.few(other)}. A backup of it "
            f"would not be taken back, {_none_made(target)} Take out what another program put in, "
            "then try again."
        )
    return misfit(source)


def _none_made(target: _File) -> str:
    stays = f", and {target.path} is as it was" if target.path.exists() else ""
    return f"so no backup was made{stays}."


def _copy(old: sqlite3.Connection, source: _File, target: _File) -> None:
    """Copy what a connection sees into a file of its own, without side files."""
    with _explained(source, target), closing(target.open("rw")) as new:
        old.backup(new, progress=_impatience(source))
        # A backup may end on a disk that cannot be written, where a write-ahead log could not be opened.
        new.execute("PRAGMA journal_mode = DELETE").fetchall()


def _bring_up_to_date(path: Path, name: str) -> None:
    engine = make_engine(f"sqlite:///{path}")
    try:
        migrate(engine, name)
    finally:
        engine.dispose()
    with closing(sqlite3.connect(path)) as new:
        let_nobody_in(new)


def _replace(live: _File, candidate: _File, keep: Callable[[], object] | None) -> None:
    if not live.path.exists():
        _set_logs_aside(live)
        put_in_place(candidate.path, live.path)
    elif live.path.stat().st_size == 0 and not side_files(live.path)[0].exists():
        _write_content(live, candidate)
    elif _is_whole(live):
        if keep is not None:
            keep()
        _replace_content(live, candidate)
    else:
        _replace_damaged(live, candidate)


def _replace_content(live: _File, candidate: _File) -> None:
    aside = live.path.with_name(live.path.name + ASIDE)
    with _explained(live, live), closing(live.open("rw")) as connection:
        protect(connection)
        _proved(connection, live, _File(aside, f"the copy {aside}"), faithful=True)
    try:
        _carry(live, candidate)
        _write_content(live, candidate)
    except StoreError:
        if _is_whole(live):
            aside.unlink()
        raise
    aside.unlink()


def _carry(live: _File, candidate: _File) -> None:
    with _explained(live, candidate), closing(live.open("ro")) as old, closing(candidate.open("rw")) as new:
        carry(old, new)


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
    _set_logs_aside(live)
    put_in_place(candidate.path, live.path)


def _set_logs_aside(live: _File) -> None:
    """Keep what SQLite left beside a database from being read into the one that takes its place."""
    aside = live.path.with_name(live.path.name + ASIDE)
    with _explained(live, live):
        for file, kept in zip(side_files(live.path), side_files(aside), strict=True):
            kept.unlink(missing_ok=True)
            if file.exists():
                file.replace(kept)


def _is_whole(live: _File) -> bool:
    """Whether the database can be read through; another program's is not ours to replace."""
    try:
        with closing(live.open("rw")) as connection:
            protect(connection)
            mark = connection.execute("PRAGMA application_id").fetchone()[0]
            used = connection.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]
            whole = damage(connection) is None
    except sqlite3.DatabaseError as error:
        if code_of(error) in _UNREADABLE:
            return False
        raise StoreError(sentence(error, live.name) or str(error)) from error
    if used and mark != APPLICATION_ID:
        raise StoreError(capitalised(NOT_OURS.format(name=live.name)))
    return whole


def _impatience(waited_for: _File) -> Callable[[int, int, int], None]:
    """What ends a copy that waits longer for another program than a writer would."""
    end = time.monotonic() + BUSY_SECONDS

    def check(status: int, _remaining: int, _total: int) -> None:
        if status in {sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED} and time.monotonic() > end:
            raise StoreError(capitalised(BUSY.format(name=waited_for.name)))

    return check


@contextmanager
def _written(target: _File) -> Iterator[None]:
    """Put what is said of a file that is written into a sentence; what is said of others passes."""
    try:
        yield
    except sqlite3.Error as error:
        if code_of(error) not in _WRITING:
            raise
        raise StoreError(sentence(error, target.name) or str(error)) from error


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
