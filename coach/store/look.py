"""What can be told of a database from outside, without changing anything in it or beside it."""

from __future__ import annotations

import os
import sqlite3
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from sqlalchemy import create_engine, event, func, select
from sqlalchemy.pool import NullPool

from coach.store.engine import make_engine, read_url
from coach.store.failures import READ_ONLY, capitalised, database_name, explain
from coach.store.files import side_files
from coach.store.instants import aware
from coach.store.migrations import has_tables, is_current
from coach.store.place import STRANGE_LOG
from coach.store.tables import LogTable, PlanLogTable
from coach.store.wall import wall_fault

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import datetime

    from sqlalchemy import URL, Connection, Engine

SPARE_BYTES = 100_000_000
"""What should be free beside the database besides the room for a copy and for replacing it."""


@dataclass(frozen=True, slots=True)
class Look:
    """What was seen of a database.

    Attributes:
        name: It, as the person knows it.
        there: Whether it has tables; else the next start makes them.
        current: Whether its tables are those of this version; else the next start brings them up to date.
        latest: When its newest row was written; none, if it has none.
        faults: What is wrong, each with what to do.
    """

    name: str
    there: bool
    current: bool = False
    latest: datetime | None = None
    faults: tuple[str, ...] = ()


def file_of(url: str) -> Path | None:
    """The file of the SQLite database at a URL; None for one on a server."""
    parsed = read_url(url)
    return Path(str(parsed.database)).absolute() if parsed.get_backend_name() == "sqlite" else None


def look(url: str) -> Look:
    """Look at the database at a URL.

    Raises:
        StoreError: It cannot be read, is not Steading's, or belongs to a newer version.
    """
    parsed, file = read_url(url), file_of(url)
    name = database_name(parsed)
    if file is not None and not (file.is_file() and file.stat().st_size):
        return Look(name, there=False)
    engine = make_engine(url) if file is None else _only_reading(parsed, file)
    try:
        with engine.connect() as connection:
            there, current = has_tables(connection, name), is_current(connection, name)
            latest = _latest(connection) if there else None
            gap = wall_fault(connection)
    finally:
        engine.dispose()
    faults = tuple(_faults(file, name)) if file is not None else () if gap is None else (gap,)
    return Look(name, there, current, latest, faults)


def _only_reading(url: URL, file: Path) -> Engine:
    """An engine for a file that it neither changes nor puts anything beside."""
    # Without side files nobody has it open, and SQLite need not make any.
    in_use = any(one.exists() for one in side_files(file))
    address = f"{file.as_uri()}?{'mode=ro' if in_use else 'immutable=1'}"
    engine = create_engine(
        url, creator=lambda: sqlite3.connect(address, uri=True), poolclass=NullPool, hide_parameters=True
    )
    event.listen(engine, "handle_error", explain)
    return engine


def _latest(connection: Connection) -> datetime | None:
    """When the newest row was written, as far as that can be read."""
    try:
        found = [
            connection.execute(select(func.max(table.logged_at))).scalar()
            for table in (LogTable, PlanLogTable)
        ]
    except ValueError:
        return None
    return max((aware(one) for one in found if one is not None), default=None)


def _faults(file: Path, name: str) -> Iterator[str]:
    if not (os.access(file, os.W_OK) and os.access(file.parent, os.W_OK)):
        yield capitalised(READ_ONLY.format(name=name))
    aside = file.with_name(file.name + STRANGE_LOG)
    if aside.exists():
        yield (
            f"Another file was put in the place of {file} while Steading ran. If rows are missing, end "
            f"Steading and bring back the copy with -before-end in its name; then delete {aside}."
        )
