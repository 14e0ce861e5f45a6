"""A file that is given as a backup: looked at without trusting it, and its rows taken into tables of ours."""

from __future__ import annotations

import sqlite3
from contextlib import closing, contextmanager
from dataclasses import dataclass
from datetime import datetime, time
from typing import TYPE_CHECKING, Any

from coach.errors import Busy, Malformed, StoreError
from coach.limits import BUSY_SECONDS
from coach.progress.days import iso_date
from coach.store import schema
from coach.store.failures import BUSY, NO_ENTRY, UNREADABLE, capitalised, code_of
from coach.store.files import side_files
from coach.store.migrations import APPLICATION_ID, EARLIER, revisions
from coach.store.proving import damage, protect, strays

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

LARGEST = 2**53
"""Numbers of rows and versions stay below it, so that there are always more to come."""

LAST_YEAR = 9000
"""No household has a row of a later one, and a date beyond could not be counted on from."""

CACHES = {"standing", "plan_state"}
"""Tables whose rows are worked out anew where they are missing, so that a damaged one costs no backup."""

ANOTHER = "Choose a file that `coach backup` or the page Data wrote."
_OURSELVES = {sqlite3.SQLITE_BUSY: BUSY, sqlite3.SQLITE_LOCKED: BUSY}
_DISK = {sqlite3.SQLITE_CANTOPEN: NO_ENTRY, sqlite3.SQLITE_PERM: NO_ENTRY, sqlite3.SQLITE_IOERR: UNREADABLE}


class Unusable(Malformed):
    """A file that cannot be brought back.

    Attributes:
        reason: Why, without its name: `is damaged`.
        newer: Whether a newer Steading could.
    """

    def __init__(self, name: str, reason: str, advice: str = ANOTHER, *, newer: bool = False) -> None:
        super().__init__(f"{capitalised(name)} {reason}. Nothing was taken from it. {advice}")
        self.reason = reason
        self.newer = newer


@dataclass(frozen=True, slots=True)
class Given:
    """A file that is whole and as Steading makes it.

    Attributes:
        connection: To the file, which is seen at one instant.
        revision: The version of its tables.
        name: What the person calls it.
    """

    connection: sqlite3.Connection
    revision: str
    name: str


@contextmanager
def given(source: Path, name: str) -> Iterator[Given]:
    """Open a file that is given as a backup, once it has been looked through; nothing is written to it.

    Args:
        source: The file.
        name: What the person calls it.

    Raises:
        Unusable: It is empty, damaged, of another program, or not as Steading makes it.
        StoreError: It cannot be read now.
    """
    with _explained(name):
        if source.stat().st_size == 0:
            raise Unusable(name, "is empty")
        # With nothing beside it nobody has it open, and SQLite need not make files of its own there.
        alone = not any(file.exists() for file in side_files(source))
        uri = f"{source.resolve().as_uri()}?mode=ro{'&immutable=1' if alone else ''}"
        with closing(sqlite3.connect(uri, uri=True, timeout=BUSY_SECONDS)) as connection:
            connection.isolation_level = None
            protect(connection)
            connection.execute("BEGIN").close()
            yield Given(connection, _revision_of(connection, name), name)


def count(found: Given) -> dict[str, int]:
    """How many rows each table has, after every row was read and would be taken."""
    return {table: sum(1 for _ in _rows(found, table)) for table in _tables(found.connection)}


def take(found: Given, into: sqlite3.Connection) -> None:
    """Take the rows into a new file, whose tables are made by our own migrations.

    Raises:
        Unusable: A row holds what Steading cannot have written.
    """
    schema.make(into, found.revision)
    for pragma in ("foreign_keys = OFF", "synchronous = OFF", "journal_mode = MEMORY"):
        into.execute(f"PRAGMA {pragma}").close()
    with into:
        into.execute("BEGIN").close()
        for table in _tables(found.connection):
            places = ", ".join("?" for _ in _columns(found.connection, table))
            # The names are those of our own tables.
            into.executemany(f'INSERT INTO "{table}" VALUES ({places})', _rows(found, table))  # noqa: S608


def differing(connection: sqlite3.Connection) -> list[str]:
    """Where a database of ours differs from what its version makes; nothing is said of a newer version's."""
    try:
        revision = _said_revision(connection, "the database")
    except Unusable as error:
        return [] if error.newer else ["it does not say which version wrote it"]
    return schema.differences(schema.shape(connection, _ours(revision)), _ours(revision))


def misfit(connection: sqlite3.Connection) -> str | None:
    """Which value of a database of ours no restore would take; nothing is said of a newer version's."""
    name = "the database"
    try:
        count(Given(connection, _said_revision(connection, name), name))
    except Unusable as error:
        return None if error.newer else f"it {error.reason}"
    return None


def _revision_of(connection: sqlite3.Connection, name: str) -> str:
    """The version of the tables, of a file that is whole and ours in every part."""
    mark = connection.execute("PRAGMA application_id").fetchone()[0]
    made = connection.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]
    if not made:
        raise Unusable(name, "is empty")
    if mark != APPLICATION_ID:
        raise Unusable(name, "is not a Steading database")
    encoding = connection.execute("PRAGMA encoding").fetchone()[0]
    if encoding != "UTF-8":
        raise Unusable(name, f"holds its text as {encoding}, where Steading writes UTF-8")
    revision = _said_revision(connection, name)
    found = schema.differences(schema.shape(connection, _ours(revision)), _ours(revision))
    if found:
        raise Unusable(name, f"is not as Steading makes it: {schema.few(found)}")
    wrong = damage(connection) or strays(connection)
    if wrong is not None:
        raise Unusable(name, f"is damaged: {wrong}")
    return revision


def _ours(revision: str) -> schema.Shape:
    with closing(sqlite3.connect(":memory:")) as fresh:
        schema.make(fresh, revision)
        return schema.shape(fresh)


def _said_revision(connection: sqlite3.Connection, name: str) -> str:
    query = "SELECT sql FROM sqlite_master WHERE type = 'table' AND name = 'alembic_version'"
    found = connection.execute(query).fetchone()
    plain = found is not None and str(found[0]).upper().startswith("CREATE TABLE")
    rows = connection.execute("SELECT * FROM alembic_version LIMIT 2").fetchall() if plain else []
    if len(rows) != 1 or not isinstance(rows[0][0], str):
        raise Unusable(name, "does not say which version of Steading wrote it")
    revision = rows[0][0]
    if revision not in revisions():
        said = f"was written by a newer Steading (its tables are version {revision[:20]})"
        raise Unusable(name, said, EARLIER, newer=True)
    return revision


def _tables(connection: sqlite3.Connection) -> list[str]:
    query = "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite^_%' ESCAPE '^'"
    # Rows refer to their household, which comes first.
    return sorted(
        (name for (name,) in connection.execute(query)), key=lambda name: (name != "household", name)
    )


def _columns(connection: sqlite3.Connection, table: str) -> list[tuple[str, str, bool]]:
    """Name, type and whether there has to be a value, of each column."""
    found = schema.pragma(connection, "table_info", table)
    return [(name, kind, bool(needed)) for _, name, kind, needed, *_ in found]


def _rows(found: Given, table: str) -> Iterator[tuple[Any, ...]]:
    """The rows of a table as they are taken; of a cache those that cannot be are left."""
    columns = _columns(found.connection, table)
    checks = [(name, _FITS[kind.partition("(")[0]], needed) for name, kind, needed in columns]
    try:
        for place, row in enumerate(found.connection.execute(f'SELECT * FROM "{table}"'), 1):  # noqa: S608
            wrong = _unfit(row, checks)
            if wrong is None:
                yield row
            elif table not in CACHES:
                where = f"row {place} of the table “{table}”, column “{wrong}”"
                raise Unusable(found.name, f"holds what Steading cannot have written: {where}")
    except sqlite3.OperationalError as error:
        if "decode" not in str(error):
            raise
        if table not in CACHES:
            raise Unusable(found.name, f"holds text that is not UTF-8 in the table “{table}”") from error


def _unfit(row: tuple[Any, ...], checks: list[tuple[str, Callable[[object], bool], bool]]) -> str | None:
    """The first column that does not take its value."""
    for value, (column, fits, needed) in zip(row, checks, strict=True):
        if not (fits(value) if value is not None else not needed):
            return column
    return None


def _is_flag(value: object) -> bool:
    return value in {0, 1} and isinstance(value, int)


def _is_bytes(value: object) -> bool:
    return isinstance(value, bytes)


def _is_text(value: object) -> bool:
    return isinstance(value, str) and "\0" not in value


def _is_number(value: object) -> bool:
    return isinstance(value, int) and 0 <= value < LARGEST


def _is_date(value: object) -> bool:
    return isinstance(value, str) and _reads(iso_date, value) and value < f"{LAST_YEAR}"


def _is_time(value: object) -> bool:
    return isinstance(value, str) and value[2:3] == ":" and _reads(time.fromisoformat, value)


def _is_instant(value: object) -> bool:
    return isinstance(value, str) and value[10:11] == " " and _reads(datetime.fromisoformat, value)


def _reads(read: Callable[[str], object], value: str) -> bool:
    try:
        found = read(value)
    except (ValueError, Malformed):
        return False
    # The store writes instants and times of day without a zone.
    return getattr(found, "tzinfo", None) is None


_FITS: dict[str, Callable[[object], bool]] = {
    "TEXT": _is_text,
    "VARCHAR": _is_text,
    "BIGINT": _is_number,
    "BOOLEAN": _is_flag,
    "BLOB": _is_bytes,
    "DATE": _is_date,
    "TIME": _is_time,
    "DATETIME": _is_instant,
}


@contextmanager
def _explained(name: str) -> Iterator[None]:
    """Put what SQLite says of a file into a sentence about it."""
    try:
        yield
    except sqlite3.Error as error:
        code = code_of(error)
        if code in _OURSELVES:
            raise Busy(capitalised(BUSY.format(name=name))) from error
        if code in _DISK:
            raise StoreError(capitalised(_DISK[code].format(name=name))) from error
        if code == sqlite3.SQLITE_NOTADB:
            raise Unusable(name, "is not a Steading database") from error
        raise Unusable(name, f"is damaged: {error}") from error
    except OSError as error:
        raise StoreError(f"{capitalised(name)} cannot be read: {error.strerror}.") from error
