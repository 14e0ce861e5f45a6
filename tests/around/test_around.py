"""What stands around today's habits comes with the pages that are open, and nothing before them."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime

import pytest

from coach.around.today import around
from coach.coaching.demo import tern_street
from coach.coaching.demo_home import furnish
from coach.coaching.library import FolderLibrary
from coach.ground.ports import Context
from coach.household import data, places, start
from coach.progress.csvform import write_log
from coach.store.memory import MemoryStore
from coach.week import jobs
from week.house import settled

TODAY = date(2027, 3, 4)
HOME = "home"


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
        assert "area-hour" not in [job.step for job in found.jobs]
