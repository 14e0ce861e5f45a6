"""What disks, other programs and strangers do to a database file."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable
    from pathlib import Path

PAGE = 4096


def garble(file: Path, table: str = "log") -> None:
    """Overwrite a page of a table that no program has open."""
    with closing(sqlite3.connect(file)) as connection:
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchall()
        query = "SELECT rootpage FROM sqlite_master WHERE name = ?"
        root = connection.execute(query, (table,)).fetchone()[0]
    with file.open("r+b") as opened:
        opened.seek((root - 1) * PAGE)
        opened.write(b"\xff" * PAGE)


def change(file: Path, statements: Iterable[str]) -> None:
    """Run statements as a program that knows nothing of Steading would."""
    with closing(sqlite3.connect(file, isolation_level=None)) as connection:
        connection.execute("PRAGMA foreign_keys = OFF")
        for statement in statements:
            connection.execute(statement)


def in_utf_16(file: Path, target: Path) -> None:
    """The same database with its text in another encoding."""
    with closing(sqlite3.connect(file)) as old, closing(sqlite3.connect(target)) as new:
        new.execute("PRAGMA encoding = 'UTF-16le'")
        new.executescript("\n".join(old.iterdump()))
        mark = old.execute("PRAGMA application_id").fetchone()[0]
        new.execute(f"PRAGMA application_id = {mark}")
