"""The stores that the suite runs over: in memory, in SQLite and in PostgreSQL."""

from __future__ import annotations

import os
from contextlib import closing
from typing import TYPE_CHECKING

import pytest

from coach.store.memory import MemoryStore
from coach.store.opening import open_store
from store.laid_out import lay_out
from store.postgres_server import PostgresServer, programs

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from coach.store.households import SqlStore

POSTGRESQL = pytest.param("postgresql", marks=pytest.mark.postgres)


@pytest.fixture(scope="session")
def postgres_server() -> Iterator[PostgresServer]:
    bin_folder = programs()
    if bin_folder is None:
        reason = "no PostgreSQL server program is installed (Debian: postgresql)"
        if os.environ.get("COACH_REQUIRE_ALL") == "1":
            pytest.fail(reason)
        pytest.skip(reason)
    server = PostgresServer(bin_folder)
    server.start()
    yield server
    server.stop()


@pytest.fixture
def postgresql_url(postgres_server: PostgresServer) -> Iterator[str]:
    """The URL of an empty PostgreSQL database."""
    name = postgres_server.new_database()
    yield postgres_server.url(name)
    postgres_server.drop_database(name)


@pytest.fixture
def sqlite_url(tmp_path: Path) -> str:
    """The URL of a SQLite database that does not exist yet."""
    return f"sqlite:///{tmp_path / 'home.db'}"


@pytest.fixture(params=["sqlite", POSTGRESQL])
def url(request: pytest.FixtureRequest) -> str:
    """The URL of an empty database of each kind."""
    return str(request.getfixturevalue(f"{request.param}_url"))


@pytest.fixture
def laid_out_postgresql_url(postgres_server: PostgresServer) -> Iterator[str]:
    """The URL of a PostgreSQL database that holds the present tables and nothing else."""
    name = postgres_server.new_laid_out()
    yield postgres_server.url(name)
    postgres_server.drop_database(name)


@pytest.fixture
def laid_out_sqlite_url(sqlite_url: str) -> str:
    """The URL of such a SQLite database."""
    lay_out(sqlite_url)
    return sqlite_url


@pytest.fixture(params=["sqlite", POSTGRESQL])
def laid_out_url(request: pytest.FixtureRequest) -> str:
    """The URL of such a database of each kind."""
    return str(request.getfixturevalue(f"laid_out_{request.param}_url"))


@pytest.fixture(params=["sqlite", POSTGRESQL])
def sql_store(request: pytest.FixtureRequest) -> Iterator[SqlStore]:
    """An empty store in a database of each kind."""
    with closing(open_store(request.getfixturevalue(f"laid_out_{request.param}_url"))) as store:
        yield store


@pytest.fixture
def sqlite_store(laid_out_sqlite_url: str) -> Iterator[SqlStore]:
    with closing(open_store(laid_out_sqlite_url)) as store:
        yield store


@pytest.fixture(params=["memory", "sqlite", POSTGRESQL])
def store(request: pytest.FixtureRequest) -> Iterator[MemoryStore | SqlStore]:
    """An empty store of each kind."""
    if request.param == "memory":
        yield MemoryStore()
        return
    with closing(open_store(request.getfixturevalue(f"laid_out_{request.param}_url"))) as opened:
        yield opened
