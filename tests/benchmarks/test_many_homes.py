"""Thousands of homes in PostgreSQL, each asked for once: what today costs where nothing is remembered.

`COACH_MANY_HOMES=10000` fills the database with as many homes as docs/performance.md tells of.
"""

from __future__ import annotations

import asyncio
import os
import statistics
import time
from dataclasses import replace
from datetime import UTC, date, datetime
from random import Random
from typing import TYPE_CHECKING

import pytest
from fastapi import FastAPI

from attack.homes import asked
from benchmarks.many_homes import fill, secret_of
from coach.app import create_app
from coach.settings import Settings
from store.postgres_server import PostgresServer, programs

if TYPE_CHECKING:
    from collections.abc import Iterator

TODAY = date(2027, 4, 7)
NOW = datetime(2027, 4, 7, 8, 30, tzinfo=UTC)
"""Within the hour in which its device was seen last: that it is seen anew is written down once an hour."""
HOMES = int(os.environ.get("COACH_MANY_HOMES", "1500"))
ASKED = 400
HOST = "steading.example"


@pytest.fixture(scope="module")
def hosted() -> Iterator[FastAPI]:
    """The hosted application over all the homes."""
    found = programs()
    assert found is not None, "these benchmarks need the Debian package postgresql"
    server = PostgresServer(found)
    server.start()
    settings = Settings(
        database=server.url(server.new_database()), way="hosted", public_url=f"https://{HOST}", today=TODAY
    )
    app = create_app(settings)
    app.state.context = replace(app.state.context, clock=lambda: NOW)
    try:
        fill(app.state.context, app.state.context.store, TODAY, HOMES)
        yield app
    finally:
        app.state.context.store.close()
        server.stop()


def bare_over(app: FastAPI) -> FastAPI:
    """A bare route that reads one row by its key, through the same store."""
    bare = FastAPI()

    @bare.get("/bare/{home}")
    def read_one(home: str) -> dict[str, int]:
        found = app.state.context.store.version(home)
        return {"version": found.version}

    return bare


async def timed(app: FastAPI, path: str, home: int) -> float:
    """How long one answer takes, in seconds of the wall."""
    headers = {"host": HOST, "authorization": f"Bearer {secret_of(home)}"}
    begun = time.perf_counter()
    status, _ = await asked(app, "GET", path, headers, b"")
    taken = time.perf_counter() - begun
    assert status == 200
    return taken


def test_today_of_a_home_that_nobody_asked_for_before_costs_at_most_six_bare_reads(hosted: FastAPI) -> None:
    bare = bare_over(hosted)
    chosen = Random(7).sample(range(HOMES), 2 * ASKED + 40)

    async def drive() -> tuple[list[float], list[float], list[float]]:
        for home in chosen[-40:]:
            await timed(hosted, "/api/today", home)
            await timed(bare, f"/bare/h{home}", home)
        cold: tuple[list[float], list[float], list[float]] = ([], [], [])
        for number, home in enumerate(chosen[: 2 * ASKED]):
            cold[number % 2].append(await timed(hosted, ("/api/today", "/today")[number % 2], home))
            cold[2].append(await timed(bare, f"/bare/h{home}", home))
        return cold

    today, page, read = asyncio.run(drive())
    for name, times in (("/api/today", today), ("/today", page), ("bare read", read)):
        hundredths = statistics.quantiles(times, n=100)
        middle = statistics.median(times)
        print(
            f"\n{name}: median {middle * 1e3:.2f} ms, p99 {hundredths[98] * 1e3:.2f} ms, "
            f"{1 / statistics.mean(times):.0f} a second, {middle / statistics.median(read):.2f} bare reads"
        )
    assert statistics.median(today) < 6 * statistics.median(read)
