"""The engine: SQLite for a home, PostgreSQL for a coach who hosts many; their settings and transactions."""

from __future__ import annotations

from contextlib import contextmanager
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, Any

from sqlalchemy import create_engine, event, make_url
from sqlalchemy.exc import ArgumentError

from coach.errors import StoreError
from coach.limits import BUSY_SECONDS, THREADS
from coach.store.failures import explain
from coach.store.waiting import begin_immediate, run_patiently
from coach.store.wall import BEGIN_OPTION, begin_walled

if TYPE_CHECKING:
    from collections.abc import Iterator

    from sqlalchemy import URL, Connection, Engine

CACHE_KIB, SMALL_CACHE_KIB = 16_000, 4_000
"""What SQLite keeps of a file's pages, and what it keeps while a whole log is written, in KiB."""

SQLITE_PRAGMAS = (
    # The timeout comes first, so that the others wait for another program too.
    f"busy_timeout = {BUSY_SECONDS * 1000}",
    "journal_mode = WAL",
    "synchronous = FULL",
    "foreign_keys = ON",
    # What SQLite sorts stays in memory, so that a full disk of temporary files is none of its trouble.
    "temp_store = MEMORY",
    f"cache_size = -{CACHE_KIB}",
    f"mmap_size = {256 * 1024 * 1024}",
)


PREPARE_AFTER = 5
"""After how many uses a statement is prepared, which the driver does unless it is told otherwise."""

CONNECT_SECONDS = 5
"""How long a server may take to answer at all; a request that waits for one that is gone keeps a thread."""


def make_engine(url: str, prepare_after: int = PREPARE_AFTER) -> Engine:
    """Build the engine for a database URL; nothing is opened yet.

    Args:
        url: `sqlite:///FILE` or `postgresql://USER@HOST/NAME`.
        prepare_after: After how many uses a server prepares a statement; 0: never.

    Raises:
        StoreError: The URL cannot be read, or names a database of another kind.
    """
    parsed = read_url(url)
    if parsed.get_backend_name() == "sqlite":
        engine = create_engine(parsed, **_POOL)
        event.listen(engine, "connect", _prepare_sqlite)
        event.listen(engine, "begin", _begin_sqlite)
    else:
        engine = _postgresql(parsed, prepare_after)
    event.listen(engine, "handle_error", explain)
    return engine


def read_url(url: str) -> URL:
    """The URL as SQLAlchemy's value, with the driver we ship for PostgreSQL.

    Raises:
        StoreError: It cannot be read, or names a database of another kind.
    """
    try:
        parsed = make_url(url)
    except (ArgumentError, ValueError):
        raise StoreError(f"“{_without_secret(url)}” is not a database URL. {_KINDS}") from None
    backend = parsed.get_backend_name()
    if backend not in _DRIVERS:
        raise StoreError(f"Steading does not keep its data in {backend}. {_KINDS}")
    if backend == "sqlite" and parsed.database in {None, "", ":memory:"}:
        raise StoreError(
            "A SQLite database in memory would be lost at the end: name a file, as in sqlite:///home.db."
        )
    return parsed.set(drivername=_DRIVERS[backend])


_DRIVERS = {"sqlite": "sqlite", "postgres": "postgresql+psycopg", "postgresql": "postgresql+psycopg"}
_KINDS = "Use sqlite:///FILE for a home, or postgresql://USER@HOST/NAME for a coach who hosts many."

_KEPT_OPEN = 10
_POOL: dict[str, Any] = {
    "pool_size": _KEPT_OPEN,
    # One connection for each thread, so that none waits for another's, and one for looking, in the midst of a
    # transaction, which version of a group's course holds: one thread does that at a time.
    "max_overflow": THREADS + 1 - _KEPT_OPEN,
    "pool_use_lifo": True,
    # What a statement was given is what a household wrote; no error may repeat it.
    "hide_parameters": True,
}


_LEGIBLE = partial(str, encoding="utf-8", errors="replace")
"""Text as far as it is UTF-8."""


@dataclass(frozen=True, slots=True)
class Ways:
    """One pool of connections, three kinds of transaction.

    Attributes:
        single: One statement that reads, without a transaction around it.
        reading: Several statements that see the database at one instant.
        writing: The right to write, held from the first statement on.
    """

    single: Engine
    reading: Engine
    writing: Engine


def ways(engine: Engine) -> Ways:
    """The ways of using an engine that the store needs."""
    if engine.dialect.name == "sqlite":
        return Ways(
            single=engine.execution_options(**{BEGIN_OPTION: None}),
            reading=engine.execution_options(**{BEGIN_OPTION: "DEFERRED"}),
            writing=engine.execution_options(**{BEGIN_OPTION: "IMMEDIATE"}),
        )
    return Ways(
        single=engine.execution_options(**{BEGIN_OPTION: None}),
        reading=engine.execution_options(**{BEGIN_OPTION: "ISOLATION LEVEL REPEATABLE READ READ ONLY"}),
        writing=engine.execution_options(**{BEGIN_OPTION: "ISOLATION LEVEL READ COMMITTED"}),
    )


def _without_secret(url: str) -> str:
    scheme, mark, rest = url.partition("://")
    return f"{scheme}{mark}{rest.rpartition('@')[2]}" if mark else url


def _postgresql(url: URL, prepare_after: int) -> Engine:
    connecting = {"prepare_threshold": prepare_after or None, "connect_timeout": CONNECT_SECONDS}
    try:
        # Transactions begin where `begin_walled` says, and what is set there ends with them.
        engine = create_engine(
            url, pool_pre_ping=True, isolation_level="AUTOCOMMIT", connect_args=connecting, **_POOL
        )
    except ImportError:
        raise StoreError(
            "PostgreSQL needs one more library: install it with `python3 -m pip install 'coach[postgres]'`."
        ) from None
    event.listen(engine, "begin", begin_walled)
    return engine


@contextmanager
def small_cache(connection: Connection) -> Iterator[None]:
    """Let SQLite keep few pages while the block runs: of a long log it would keep as many as it may."""
    if connection.dialect.name != "sqlite":
        yield
        return
    connection.exec_driver_sql(f"PRAGMA cache_size = -{SMALL_CACHE_KIB}")
    try:
        yield
    finally:
        connection.exec_driver_sql(f"PRAGMA cache_size = -{CACHE_KIB}")


def _prepare_sqlite(connection: Any, _record: object) -> None:  # noqa: ANN401  any driver's connection
    # Transactions begin where `_begin_sqlite` says, not where the driver guesses.
    connection.isolation_level = None
    # A damaged byte costs the place where it stands, and not every page that reads its row.
    connection.text_factory = _LEGIBLE
    for pragma in SQLITE_PRAGMAS:
        # The change to WAL is refused at once while another program opens or closes the file.
        run_patiently(connection, f"PRAGMA {pragma}")


def _begin_sqlite(connection: Connection) -> None:
    how = connection.get_execution_options().get(BEGIN_OPTION, "DEFERRED")
    if how == "IMMEDIATE":
        begin_immediate(connection)
    elif how is not None:
        connection.exec_driver_sql(f"BEGIN {how}")
