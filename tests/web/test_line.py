"""Whoever changes something waits in a line that is fair, bounded, and in nobody's way who only reads."""

from __future__ import annotations

import asyncio
import json
import re
import signal
import sqlite3
import statistics
import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.error import HTTPError

import pytest

from coach.limits import GRACE_SECONDS, LINE_SECONDS, WORK_SECONDS, WRITE_SECONDS
from coach.web.line import Door, Full
from commands.running import Served, served

if TYPE_CHECKING:
    from collections.abc import Iterator

    from web.house import House

WRITERS = Path(__file__).parent / "many_writers.py"
DATE = "2027-01-04"
CONNECTIONS, SECONDS = 256, 8


@pytest.fixture
def running(tmp_path: Path) -> Iterator[Served]:
    with served("serve", "--database", f"sqlite:///{tmp_path / 'home.db'}", "--today", DATE) as service:
        service.send("POST", "/api/start", {"first": "bed-made", "zone": "UTC"})
        yield service


def seconds_for_pages(running: Served, writing: subprocess.Popen[str]) -> list[float]:
    """How long pages took that were asked for one after the other while others wrote."""
    taken = []
    while writing.poll() is None:
        begun = time.perf_counter()
        assert running.get("/today")[0] == 200
        taken.append(time.perf_counter() - begun)
        time.sleep(0.02)
    return taken


def begin_to_write(running: Served, connections: int, seconds: float) -> subprocess.Popen[str]:
    port = running.address.rpartition(":")[2]
    command = [sys.executable, str(WRITERS), port, DATE, str(connections), str(seconds)]
    return subprocess.Popen(command, stdout=subprocess.PIPE, text=True)


def test_256_connections_that_write_are_served_in_turn_and_pages_are_read_meanwhile(running: Served) -> None:
    with begin_to_write(running, CONNECTIONS, SECONDS) as writing:
        taken = seconds_for_pages(running, writing)
        assert writing.stdout is not None
        told = json.loads(writing.stdout.read())
    middle, most = statistics.median(taken), statistics.quantiles(taken, n=100)[-1]
    print(told, f"{len(taken)} pages: median {middle:.3f} s, 99 of 100 within {most:.3f} s")  # noqa: T201
    assert set(told["statuses"]) == {"200"}
    assert told["fewest"] >= told["most"] // 2
    assert statistics.quantiles(taken, n=20)[-1] < 1


def test_told_to_end_it_ends_what_it_is_answering_and_itself(running: Served) -> None:
    with begin_to_write(running, 64, 30) as writing:
        time.sleep(2)
        begun = time.monotonic()
        running.process.terminate()
        said = running.process.communicate(timeout=30)[0]
        assert time.monotonic() - begun < GRACE_SECONDS + 3
        assert writing.stdout is not None
        told = json.loads(writing.stdout.read())
    assert set(told["statuses"]) == {"200"}
    assert "Traceback" not in said


def test_told_to_end_it_waits_for_no_other_program(running: Served, tmp_path: Path) -> None:
    with (
        closing(sqlite3.connect(tmp_path / "home.db", isolation_level=None)) as other,
        ThreadPoolExecutor(1) as phone,
    ):
        other.execute("BEGIN IMMEDIATE")
        tap = phone.submit(running.send, "PUT", f"/api/days/{DATE}/marks/bed-made", {"mark": "kept"})
        time.sleep(1)
        begun = time.monotonic()
        running.process.send_signal(signal.SIGINT)
        said = running.process.communicate(timeout=30)[0]
        assert time.monotonic() - begun < GRACE_SECONDS + 3
        with pytest.raises(HTTPError, match="503") as refused:
            tap.result()
        assert "another program kept" in refused.value.read().decode().lower()
        refused.value.close()
    assert "Traceback" not in said


def test_those_who_wait_are_let_in_as_they_came_and_no_more_than_some_at_once() -> None:
    let_in: list[int] = []

    async def come(door: Door, number: int) -> None:
        await door.enter()
        let_in.append(number)

    async def crowd() -> None:
        door = Door(2, 10, 30)
        comers = [asyncio.create_task(come(door, number)) for number in range(6)]
        await asyncio.sleep(0)
        assert let_in == [0, 1]
        comers[2].cancel()
        for expected in ([0, 1, 3], [0, 1, 3, 4], [0, 1, 3, 4, 5]):
            door.leave()
            await asyncio.sleep(0.01)
            assert let_in == expected
        await asyncio.gather(*comers, return_exceptions=True)

    asyncio.run(crowd())


@pytest.mark.parametrize(("most", "seconds"), [(0, 30), (5, 0.01)], ids=["too many", "too long"])
def test_who_may_not_wait_is_refused_and_the_door_stays_as_it_was(most: int, seconds: float) -> None:
    async def refused() -> None:
        door = Door(1, most, seconds)
        await door.enter()
        with pytest.raises(Full):
            await door.enter()
        door.leave()
        await door.enter()

    asyncio.run(refused())


def test_behind_a_closed_door_nobody_waits_any_more() -> None:
    async def closed() -> None:
        door = Door(1, 5, 30)
        await door.enter()
        waiting = asyncio.create_task(door.enter())
        await asyncio.sleep(0)
        door.close()
        with pytest.raises(Full):
            await waiting
        with pytest.raises(Full):
            await door.enter()

    asyncio.run(closed())


@pytest.mark.parametrize("body", [b'{"mark": "kept"}', b""], ids=["with a body", "without"])
def test_a_change_in_a_full_house_is_told_when_to_come_again_and_a_page_is_read(
    house: House, monkeypatch: pytest.MonkeyPatch, body: bytes
) -> None:
    async def enter(_: Door) -> None:
        raise Full

    monkeypatch.setattr(Door, "enter", enter)
    assert house.http.get("/today").status_code == 200
    answer = house.http.put("/api/days/2027-01-04/marks/bed-made", content=body)
    assert (answer.status_code, answer.headers["retry-after"]) == (503, "5")
    assert answer.json()["type"] == "/problems/crowded"
    assert "Nothing was saved" in answer.json()["detail"]


def test_a_page_waits_for_an_answer_longer_than_the_service_does(house: House) -> None:
    config = re.search(r"""name="htmx-config" content='([^']+)'""", house.http.get("/today").text)
    assert config is not None
    waited = json.loads(config[1])["defaultTimeout"] / 1000
    assert waited >= LINE_SECONDS + WRITE_SECONDS + WORK_SECONDS
