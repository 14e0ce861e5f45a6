"""The service keeps answering with more connections than it has threads or database connections."""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING

import httpx
import pytest

from web.live import LiveHouse

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

CONNECTIONS = 256


@pytest.fixture
def live(tmp_path: Path) -> Iterator[LiveHouse]:
    house = LiveHouse(tmp_path)
    house.start()
    house.live(3)
    yield house
    house.close()


async def _all_at_once(house: LiveHouse) -> list[int]:
    """Each connection reads today, marks a line and reads again, all at the same time."""
    mark = f"/api/days/{house.today}/marks/bed-made"

    async def one(number: int, http: httpx.AsyncClient) -> list[int]:
        read = await http.get("/api/today")
        word = "kept" if number % 2 else "small"
        write = await http.put(mark, json={"mark": word, "request_id": f"tap-{number}"})
        page = await http.get("/today")
        return [read.status_code, write.status_code, page.status_code]

    limits = httpx.Limits(max_connections=CONNECTIONS, max_keepalive_connections=CONNECTIONS)
    async with httpx.AsyncClient(base_url=house.url, limits=limits, timeout=60) as http:
        answers = await asyncio.gather(*(one(number, http) for number in range(CONNECTIONS)))
    return [status for answer in answers for status in answer]


def test_256_connections_are_all_answered_and_no_mark_is_lost(live: LiveHouse) -> None:
    statuses = asyncio.run(_all_at_once(live))
    assert statuses == [200] * (3 * CONNECTIONS)
    assert live.day()["checklist"][0]["mark"] in {"kept", "small"}
    rows = live.http.get("/api/log.csv").text.splitlines()
    marks = [row.split(",")[1] for row in rows if row.startswith(f"{live.today},") and "bed-made" in row]
    assert live.day()["checklist"][0]["mark"] == marks[-1]
