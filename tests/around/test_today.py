"""What stands around today's habits comes with the pages that are open, and nothing before them."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING

import pytest

from around.seen import around
from coach.around.today import kitchen_and_desk_in
from coach.coaching.demo import furnish, tern_street
from coach.coaching.library import FolderLibrary
from coach.ground.ports import Context
from coach.ground.situation import situation
from coach.habits import pauses
from coach.household import data, places, start
from coach.kitchen import favourites
from coach.progress.csvform import write_log
from coach.store.memory import MemoryStore
from coach.week import jobs
from habits.house import HOME, House
from kitchen.cooking import a_dinner, dish, plan
from progress.living import on
from week.house import settled

if TYPE_CHECKING:
    from coach.around.answers import KitchenAndDesk

TODAY = date(2027, 3, 4)
CHICKEN = ("chicken", "4 lb", "poultry")


@pytest.fixture
def context() -> Context:
    return Context(MemoryStore(), FolderLibrary(), lambda: datetime(2027, 3, 4, 9, tzinfo=UTC), TODAY)


@pytest.fixture
def furnished(context: Context) -> Context:
    course = context.library.course(context.course)
    data.load(context, HOME, write_log(tern_street(course, TODAY)))
    furnish(context, HOME, TODAY)
    return context


def test_on_the_first_day_nothing_stands_around(context: Context) -> None:
    start.start(context, HOME, "bed-made", "Europe/Lisbon")
    found = around(context, HOME)
    assert (found.open, found.area, found.jobs, found.kitchen, found.load) == ((), None, (), None, None)


def test_a_page_opened_early_brings_its_part_alone(context: Context) -> None:
    start.start(context, HOME, "bed-made", "Europe/Lisbon")
    places.open_early(context, HOME, "dinner")
    found = around(context, HOME)
    assert found.kitchen is not None
    assert (found.area, found.load) == (None, None)


def test_a_household_with_a_plan_sees_area_dinner_and_load(furnished: Context) -> None:
    found = around(furnished, HOME)
    assert found.area is not None
    assert found.kitchen is not None
    assert found.load is not None
    assert found.area.done_minutes > 0
    assert found.kitchen.dinner.dinner is not None
    assert found.load.date == TODAY


def test_a_timer_runs_on_from_minute_to_minute_though_nothing_is_written() -> None:
    house = settled(20)
    jobs.start_timer(house.at(20, "10:00").context, HOME, "rooms")
    left = []
    for hour in ("10:00", "10:01", "10:25"):
        [rooms] = around(house.at(20, hour).context, HOME).jobs
        assert rooms.timer is not None
        left.append(rooms.timer.minutes_left)
    assert left == [60, 59, 35]


def test_the_hour_in_the_area_is_told_by_the_area_and_not_as_a_job(furnished: Context) -> None:
    for ahead in range(7):
        day = TODAY.replace(day=TODAY.day + ahead)
        found = around(replace(furnished, pretend=day), HOME)
        assert "area-time" not in [job.step for job in found.jobs]


@pytest.fixture
def house() -> House:
    return House().begun()


def kitchen_and_desk(house: House) -> KitchenAndDesk:
    """What today's page is given of the two."""
    with house.store.reading(HOME) as reading:
        return kitchen_and_desk_in(situation(house.context, reading))


def test_today_asks_for_dinner_until_there_is_one(house: House) -> None:
    favourites.keep(house.context, HOME, dish("Pie"))
    assert kitchen_and_desk(house).asks
    assert [one.dish for one in kitchen_and_desk(house).favourites] == ["Pie"]
    plan(house, 1, a_dinner("Soup"))
    found = kitchen_and_desk(house)
    assert (found.asks, found.favourites) == (False, ())
    assert found.dinner.dinner is not None
    assert found.dinner.dinner.dish == "Soup"


def test_nobody_is_asked_while_away(house: House) -> None:
    pauses.pause(house.at(2).context, HOME, None, on(9))
    assert not kitchen_and_desk(house.at(4)).asks


def test_what_moves_today_and_tomorrow_is_told(house: House) -> None:
    plan(house, 2, a_dinner("Soup", CHICKEN))
    plan(house, 3, a_dinner("Stew", CHICKEN))
    found = kitchen_and_desk(house).moves
    assert [[move.dish for move in moves] for moves in (found.today, found.tomorrow)] == [["Soup"], ["Stew"]]
