"""Proofs that a SQLite file is whole: its pages, what its rows refer to, and every row of it."""

from __future__ import annotations

import hashlib
import sqlite3
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

_TABLES = (
    "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite^_%' ESCAPE '^' "
    "AND sql LIKE 'CREATE TABLE%' ORDER BY name"
)
_LONGEST = 120


@dataclass(frozen=True, slots=True)
class Tally:
    """All rows of a file, read through.

    Attributes:
        mark: The number that says whose file it is.
        rows: How many rows each table has.
        digests: A digest of each table's rows.
    """

    mark: int
    rows: Mapping[str, int]
    digests: Mapping[str, str]


def protect(connection: sqlite3.Connection) -> None:
    """Let a file's own schema do nothing but describe rows, and let nothing be written to it."""
    for pragma in ("trusted_schema = OFF", "cell_size_check = ON", "temp_store = MEMORY", "query_only = ON"):
        connection.execute(f"PRAGMA {pragma}").close()
    # Python knows these settings from 3.12 on; without them the schema is compared before anything is run.
    configure = getattr(connection, "setconfig", None)
    if configure is not None:
        for name, on in (("DEFENSIVE", True), ("ENABLE_TRIGGER", False), ("ENABLE_VIEW", False)):
            configure(getattr(sqlite3, f"SQLITE_DBCONFIG_{name}"), on)


def damage(connection: sqlite3.Connection) -> str | None:
    """What is wrong with the pages of a file; None if it is whole.

    `integrity_check` goes through every page, and compares every index with its table
    (https://www.sqlite.org/pragma.html#pragma_integrity_check).
    """
    found = str(connection.execute("PRAGMA integrity_check(1)").fetchone()[0])
    if found == "ok":
        return None
    lines = [line for line in found.splitlines() if not line.startswith("***")]
    return (lines or [found])[0][:_LONGEST]


def strays(connection: sqlite3.Connection) -> str | None:
    """Which table has rows of a household that is not there, or whatever else they refer to."""
    found = connection.execute("PRAGMA foreign_key_check").fetchone()
    return None if found is None else f"the table “{found[0]}” has rows of a household that is not there"


def tally(connection: sqlite3.Connection) -> Tally:
    """Read every row of a file."""
    before = connection.text_factory
    # Bytes, so that a text which is no UTF-8 is read too.
    connection.text_factory = bytes
    try:
        names = [name.decode() for (name,) in connection.execute(_TABLES).fetchall()]
        found = {name: _read(connection, name) for name in names}
    finally:
        connection.text_factory = before
    mark = connection.execute("PRAGMA application_id").fetchone()[0]
    rows, digests = ({name: one[place] for name, one in found.items()} for place in (0, 1))
    return Tally(mark, rows, digests)  # type: ignore[arg-type]


def _read(connection: sqlite3.Connection, table: str) -> tuple[int, str]:
    digest, count = hashlib.sha256(), 0
    quoted = table.replace('"', '""')
    for row in connection.execute(f'SELECT * FROM "{quoted}"'):  # noqa: S608  a name cannot be a parameter
        digest.update(repr(row).encode())
        count += 1
    return count, digest.hexdigest()
