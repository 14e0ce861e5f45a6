"""Migrations: what brings a database of any earlier version, or an empty one, up to the present tables.

`alembic -x url=sqlite:///new.db revision --autogenerate -m "..."` writes the next one into `versions/`.
A database is never taken back to an earlier version, because a backup does that without loss.

On SQLite a changed column makes Alembic copy the whole table: make the triggers of `log` and `plan_log` again
after that, and leave `household` to added columns, because other tables refer to it.
"""

from __future__ import annotations

import threading
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from alembic import command
from alembic.config import Config
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import inspect, text

from coach.errors import StoreError
from coach.store.engine import ways
from coach.store.every_table import ALL_TABLES
from coach.store.failures import NOT_OURS, capitalised, database_name

if TYPE_CHECKING:
    from sqlalchemy import Connection, Engine

FOLDER = Path(__file__).parent

APPLICATION_ID = 0x53_54_45_41
"""Marks a SQLite file as ours (https://www.sqlite.org/pragma.html#pragma_application_id).

The first migration sets it."""

EARLIER = "Install that version or a later one, or bring back a backup made with this one."

_MIGRATING = 0x53_54_45_41_44
"""Number of the lock that keeps two servers from migrating one PostgreSQL database at a time."""

_ALEMBIC = threading.Lock()
"""Alembic keeps what it is at for the whole process, so that two threads would mix up their databases."""


def migrate(engine: Engine, name: str | None = None) -> None:
    """Bring the database up to the present tables, all or nothing.

    Args:
        engine: From `make_engine`.
        name: The database as the person knows it, if not by its URL.

    Raises:
        StoreError: It belongs to a newer version or to another program, or cannot be written.
    """
    name = database_name(engine.url) if name is None else name
    used = ways(engine)
    with used.reading.connect() as connection:
        if is_current(connection, name):
            return
    with used.writing.begin() as connection:
        if engine.dialect.name == "postgresql":
            connection.execute(text("SELECT pg_advisory_xact_lock(:key)"), {"key": _MIGRATING})
        # Another server may have done it while this one waited.
        if not is_current(connection, name):
            upgrade(connection, "head")


def upgrade(connection: Connection, revision: str) -> None:
    """Run the migrations up to a version, inside the connection's transaction."""
    with _ALEMBIC:
        command.upgrade(configuration(connection), revision)


@cache
def revisions() -> tuple[str, ...]:
    """Every version that the migrations know, the present one first; Alembic compiles each file to tell."""
    config = Config()
    config.set_main_option("script_location", str(FOLDER).replace("%", "%%"))
    config.set_main_option("path_separator", "os")
    return tuple(script.revision for script in ScriptDirectory.from_config(config).walk_revisions())


def is_current(connection: Connection, name: str) -> bool:
    """Whether the database has the present tables.

    Args:
        connection: To the database.
        name: The database as the person knows it.

    Raises:
        StoreError: It belongs to a newer version or to another program.
    """
    revision = _revision(connection)
    if not _is_ours(connection, revision):
        raise StoreError(capitalised(NOT_OURS.format(name=name)))
    if revision is not None and revision not in revisions():
        said = f"{capitalised(name)} was written by a newer Steading (its tables are version {revision})."
        raise StoreError(f"{said} {EARLIER}")
    return revision == revisions()[0]


def has_tables(connection: Connection, name: str) -> bool:
    """Whether the database has tables of this or an earlier version.

    Raises:
        StoreError: It belongs to a newer version or to another program.
    """
    return is_current(connection, name) or _revision(connection) is not None


def configuration(connection: Connection) -> Config:
    """Alembic's configuration for migrating over an open connection."""
    config = Config(attributes={"connection": connection})
    config.set_main_option("script_location", str(FOLDER).replace("%", "%%"))
    config.set_main_option("path_separator", "os")
    return config


def _revision(connection: Connection) -> str | None:
    return MigrationContext.configure(connection).get_current_revision()


def _is_ours(connection: Connection, revision: str | None) -> bool:
    """Whether this is a Steading database or one that nobody uses yet."""
    if connection.dialect.name == "sqlite":
        mark = connection.execute(text("PRAGMA application_id")).scalar_one()
        empty = connection.execute(text("SELECT count(*) FROM sqlite_master")).scalar_one() == 0
        return bool(mark == APPLICATION_ID if not empty else mark in {0, APPLICATION_ID})
    return revision is not None or not set(inspect(connection).get_table_names()) & set(ALL_TABLES.tables)
