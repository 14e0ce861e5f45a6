"""PgBouncer in transaction mode: many share a few connections, and nothing of one is left for another."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack, closing
from typing import TYPE_CHECKING

import pytest
from sqlalchemy import text

from coach.store.engine import ways
from coach.store.opening import open_store
from places.servers import POOLED, PORT
from store.tern_street import add, begin, kept, rows_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from coach.store.households import SqlStore
    from places.servers import Servers

pytestmark = pytest.mark.postgres
CLIENTS = 12
TIMES = 12
LEFT = (
    "SELECT concat(current_setting('steading.household', true), current_setting('steading.door', true), "
    "current_setting('steading.author', true), current_setting('lock_timeout'))"
)


@pytest.fixture
def clients(servers: Servers) -> Iterator[list[SqlStore]]:
    """As many processes, which share a few connections to a database of their own."""
    server = servers.by_name["second"]
    name = server.new_database()
    url = f"{server.url(name)}&port={PORT}"
    with ExitStack() as stack:
        yield [stack.enter_context(closing(open_store(url, prepare_after=0))) for _ in range(CLIENTS)]
    with_pooler_let_go(servers, name)


def with_pooler_let_go(servers: Servers, name: str) -> None:
    servers.by_name["second"].drop_database(name)


def work(store: SqlStore, household: str) -> set[int]:
    """Write and read as a household does, again and again; the connections it had."""
    had = set()
    begin(store, household)
    for number in range(1, TIMES + 1):
        assert add(store, kept(number, household), household_id=household)
        with store.reading(household) as reading:
            assert {row.step for row in reading.rows()} <= {household, "bed-made"}
            everybody = reading.connection.execute(text("SELECT DISTINCT household_id FROM log")).scalars()
            assert list(everybody) == [household]
            had.add(reading.connection.execute(text("SELECT pg_backend_pid()")).scalar_one())
        assert store.version(household) is not None
        assert store.shown("nobody") is None
    return had


def test_many_share_a_few_connections_and_each_sees_its_own_household_alone(clients: list[SqlStore]) -> None:
    with ThreadPoolExecutor(CLIENTS) as pool:
        had = list(pool.map(work, clients, [f"home-{number}" for number in range(CLIENTS)]))
    assert len(set().union(*had)) <= POOLED
    for number, store in enumerate(clients):
        assert len(rows_of(store, household_id=f"home-{number}")) == TIMES + 1
    for store in clients:
        with ways(store.engine).single.connect() as connection:
            assert connection.execute(text(LEFT)).scalar_one() == "0"


def test_nothing_is_prepared_and_no_lock_stays(clients: list[SqlStore]) -> None:
    begin(clients[0], "tidy")
    for store in clients:
        for number in range(7):
            add(store, kept(number + 1), household_id="tidy")
    with ways(clients[0].engine).single.connect() as connection:
        assert connection.execute(text("SELECT count(*) FROM pg_prepared_statements")).scalar_one() == 0
        locks = "SELECT count(*) FROM pg_locks WHERE locktype = 'advisory'"
        assert connection.execute(text(locks)).scalar_one() == 0
