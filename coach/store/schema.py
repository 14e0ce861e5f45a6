"""What our migrations make of a SQLite file, and where another file's tables differ from that."""

from __future__ import annotations

import re
from functools import cache
from typing import TYPE_CHECKING, Any

from sqlalchemy import create_engine, text

from coach.store.migrations import upgrade

if TYPE_CHECKING:
    import sqlite3
    from collections.abc import Mapping

Shape = dict[tuple[str, str], Any]
"""Every table, index, trigger and view by kind and name, with what makes it what it is."""

# SQLite's own tables begin so; nobody can make one of that name, and none is read.
_MASTER = "SELECT type, name, tbl_name, sql FROM sqlite_master WHERE name NOT LIKE 'sqlite^_%' ESCAPE '^'"
_PLAIN = re.compile(r"CREATE TABLE\b(?!.*\bCHECK\b)", re.IGNORECASE | re.DOTALL)
_TOLD = 3


@cache
def making(revision: str) -> tuple[str, ...]:
    """The statements that make a file of a version, as the migrations up to it do."""
    engine = create_engine("sqlite://")
    try:
        with engine.begin() as connection:
            upgrade(connection, revision)
            found = connection.execute(text("SELECT sql FROM sqlite_master WHERE sql IS NOT NULL")).scalars()
            mark = connection.execute(text("PRAGMA application_id")).scalar_one()
            return (*found.all(), f"PRAGMA application_id = {mark}")
    finally:
        engine.dispose()


def make(connection: sqlite3.Connection, revision: str) -> None:
    """Make the tables of a version in an empty file, none of them with a row."""
    connection.executescript(";\n".join(making(revision)) + ";")


def shape(connection: sqlite3.Connection, known: Mapping[tuple[str, str], object] | None = None) -> Shape:
    """What a file is made of.

    Args:
        connection: To the file.
        known: What it may be made of; what is not among this is named and not looked into.
    """
    found: Shape = {}
    for kind, name, table, sql in connection.execute(_MASTER).fetchall():
        key = (kind, name)
        found[key] = _made_of(connection, kind, name, table, sql) if known is None or key in known else None
    return found


def differences(found: Shape, ours: Shape) -> list[str]:
    """Where a file differs from what our migrations make, in words.

    An index or a trigger that is missing is no difference: neither holds a row, and the rows go into a file
    that has both.
    """
    more = [f"the {kind} “{name}” is not Steading's" for kind, name in found if (kind, name) not in ours]
    less = [
        f"the {kind} “{name}” is missing"
        for kind, name in ours
        if (kind, name) not in found and kind not in {"index", "trigger"}
    ]
    other = [
        f"the {kind} “{name}” is another one than Steading's"
        for (kind, name), made_of in found.items()
        if (kind, name) in ours and made_of != ours[kind, name]
    ]
    return [*more, *less, *other]


def few(said: list[str]) -> str:
    """The first few, and how many there are besides."""
    rest = len(said) - _TOLD
    return "; ".join([*said[:_TOLD], *([f"and {rest} more"] if rest > 0 else [])])


def _made_of(connection: sqlite3.Connection, kind: str, name: str, table: str, sql: str) -> object:
    if kind == "table":
        # Into a table that computes its rows nobody looks: to ask about it already runs what computes them.
        return _table(connection, name) if _PLAIN.match(sql) else sql
    if kind == "index":
        listed = [(one[2], one[4]) for one in pragma(connection, "index_list", table) if one[1] == name]
        return table, listed, _index(connection, name)
    return table, " ".join(sql.split())


def _table(connection: sqlite3.Connection, name: str) -> object:
    columns = [column[1:] for column in pragma(connection, "table_xinfo", name)]
    refers = sorted(found[2:] for found in pragma(connection, "foreign_key_list", name))
    keys = [one for one in pragma(connection, "index_list", name) if one[3] != "c"]
    return columns, refers, sorted((key[2], key[3], key[4], _index(connection, key[1])) for key in keys)


def _index(connection: sqlite3.Connection, name: str) -> list[tuple[Any, ...]]:
    return [column[2:] for column in pragma(connection, "index_xinfo", name)]


def pragma(connection: sqlite3.Connection, name: str, about: str) -> list[tuple[Any, ...]]:
    """What a file says about a table or an index; a table of the file cannot stand in for the answer."""
    quoted = about.replace('"', '""')
    return connection.execute(f'PRAGMA {name}("{quoted}")').fetchall()
