"""Servers and the households that are spread over them."""

from __future__ import annotations

import os
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from coach.store.opening import Databases, open_all
from coach.store.spread import SpreadStore
from places.servers import POOLER, Servers
from store.postgres_server import programs

if TYPE_CHECKING:
    from collections.abc import Iterator


@pytest.fixture(scope="session")
def servers() -> Iterator[Servers]:
    bin_folder = programs()
    if bin_folder is None or not Path(POOLER).exists():
        reason = "no PostgreSQL server program or no pooler is installed (Debian: postgresql, pgbouncer)"
        if os.environ.get("COACH_REQUIRE_ALL") == "1":
            pytest.fail(reason)
        pytest.skip(reason)
    started = Servers(bin_folder)
    try:
        started.start()
        yield started
    finally:
        started.stop()


@pytest.fixture
def spread(servers: Servers) -> Iterator[SpreadStore]:
    """A store over all three, as one process of the service has it."""
    with closing(opened(servers)) as store:
        yield store


def opened(servers: Servers, **more: object) -> SpreadStore:
    """The same, as another process has it."""
    others = {name: servers.url(name) for name in ("second", "third")}
    store = open_all(Databases(servers.url("first"), others, **more))  # type: ignore[arg-type]  # its own fields
    assert isinstance(store, SpreadStore)
    return store
