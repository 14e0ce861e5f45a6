"""Pages that notice: what is answered at once, what is held, and for how long."""

from __future__ import annotations

import asyncio
import itertools
import time
from typing import TYPE_CHECKING

import pytest

from coach.web.changes import Changes
from web.at_home import HomeHouse
from web.habits.test_hands import BED, Two
from web.markup import read

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from coach.ground.ports import Household


@pytest.fixture
def two(tmp_path: Path) -> Iterator[Two]:
    house = HomeHouse(tmp_path)
    house.start()
    yield Two(house)
    house.close()


def test_what_was_not_seen_is_answered_at_once(two: Two) -> None:
    seen = two.day["version"]
    two.put(two.ben, "kept")
    answer = two.ana.get("/today/changes", params={"seen": seen, "on": str(two.home.today)})
    assert answer.headers["steading-version"] == str(two.day["version"])
    shown = read(answer.text)
    assert "Kept" in next(shown.every("div", **{"data-piece": f"do-{BED}"})).text
    assert "Ben, 12:00" in next(shown.every("div", **{"data-words": f"by-{BED}"})).text
    assert len(answer.content) < 4000


def test_what_was_seen_is_held_until_the_time_is_up(two: Two) -> None:
    two.home.app.state.changes.seconds = 0.2
    began = time.monotonic()
    answer = two.ana.get("/today/changes", params={"seen": two.day["version"], "on": str(two.home.today)})
    assert (answer.status_code, answer.content) == (204, b"")
    assert time.monotonic() - began >= 0.2


def test_what_is_written_between_the_look_and_the_wait_is_not_slept_through(
    two: Two, monkeypatch: pytest.MonkeyPatch
) -> None:
    seen, on = two.day["version"], str(two.home.today)
    store = two.home.app.state.context.store
    look, looks = store.version, itertools.count()

    def slowly(household: str) -> Household | None:
        found: Household | None = look(household)
        if next(looks) == 0:
            two.put(two.ben, "kept")
        return found

    monkeypatch.setattr(store, "version", slowly)
    two.home.app.state.changes.seconds = 4
    began = time.monotonic()
    answer = two.ana.get("/today/changes", params={"seen": seen, "on": on})
    assert answer.status_code == 200
    assert time.monotonic() - began < 3


def test_the_grid_is_told_by_its_lines(two: Two) -> None:
    answer = two.ana.get("/today/changes", params={"seen": 1})
    assert answer.status_code == 200
    assert "data-line" not in answer.text  # it is the first day


def test_nobody_who_was_not_let_in_is_held(two: Two) -> None:
    assert two.home.phone(9).get("/today/changes", params={"seen": 1}).status_code == 401


def test_a_page_asks_only_where_two_or_more_live(two: Two, tmp_path: Path) -> None:
    assert "/today/changes" in two.ana.get("/today").text
    assert "/today/changes" in two.ana.get("/days").text
    (tmp_path / "one").mkdir()
    alone = HomeHouse(tmp_path / "one")
    alone.start()
    ana = alone.paired("Ana")
    assert "changes" not in ana.get("/today").text + ana.get("/days").text
    alone.close()


async def _never() -> None:
    await asyncio.Event().wait()


async def _now() -> None:
    return


def test_whoever_waits_goes_on_when_something_is_written_and_no_other_household_is_told() -> None:
    async def waits() -> list[bool]:
        changes = Changes(seconds=30)
        ours = asyncio.create_task(changes.wait("ours", _never))
        theirs = asyncio.create_task(changes.wait("theirs", _never))
        await asyncio.sleep(0)
        changes.tell("ours")
        await asyncio.wait_for(ours, 5)
        found = [ours.done(), theirs.done()]
        changes.end()
        await asyncio.wait_for(theirs, 5)
        return found

    assert asyncio.run(waits()) == [True, False]


def test_no_more_than_so_many_wait_and_nobody_who_is_gone_or_comes_after_the_end() -> None:
    async def waits() -> None:
        changes = Changes(most=1, seconds=30)
        held = asyncio.create_task(changes.wait("ours", _never))
        await asyncio.sleep(0)
        await asyncio.wait_for(changes.wait("ours", _never), 5)
        changes.end()
        await asyncio.wait_for(held, 5)
        await asyncio.wait_for(changes.wait("ours", _never), 5)
        await asyncio.wait_for(Changes(seconds=30).wait("ours", _now), 5)

    asyncio.run(waits())
