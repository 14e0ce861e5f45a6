"""This week's area in the week: its minutes by date, counted once, and moved with the area's hour."""

from __future__ import annotations

import pytest

from areas.house import AreaHouse
from coach.areas import turns as area_turns
from coach.habits import pauses
from coach.week import balance as balancing
from coach.week.days import set_available, week
from habits.house import HOME
from progress.living import on

NEXT_WEEK = "2027-W02"


@pytest.fixture
def house() -> AreaHouse:
    """A house with areas, on its third day: the hour for the area falls on Thursdays."""
    house = AreaHouse(minutes=60)
    house.live(2)
    return house


def minutes(house: AreaHouse, name: str | None = None) -> dict[str, tuple[int, int]]:
    """For each weekday all minutes and those of the area, where there are any of the area."""
    days = week(house.context, HOME, name).days
    return {day.weekday: (day.minutes, day.area_minutes) for day in days if day.area_minutes}


def test_the_areas_minutes_take_the_place_of_the_hours_own(house: AreaHouse) -> None:
    assert minutes(house, NEXT_WEEK) == {"TH": (62, 60)}
    (hour,) = week(house.context, HOME, NEXT_WEEK).days[3].jobs
    assert (hour.step, hour.minutes) == ("area-hour", 0)


def test_without_areas_the_hour_counts_its_own_minutes() -> None:
    house = AreaHouse(())
    house.live(2)
    (hour,) = week(house.context, HOME, NEXT_WEEK).days[3].jobs
    assert hour.minutes == 60


def test_on_chosen_days_the_minutes_are_spread_and_the_hour_adds_none(house: AreaHouse) -> None:
    area_turns.arrange(house.context, HOME, {"area_days": ["MO", "WE", "SA"]})
    assert minutes(house, NEXT_WEEK) == {"MO": (22, 20), "WE": (22, 20), "SA": (22, 20)}
    assert week(house.context, HOME, NEXT_WEEK).days[3].minutes == 2


def test_a_day_away_has_no_area_minutes(house: AreaHouse) -> None:
    pauses.pause(house.context, HOME, on(11), on(11))
    assert minutes(house, NEXT_WEEK) == {}


def test_balance_moves_the_hour_with_the_areas_minutes(house: AreaHouse) -> None:
    set_available(house.context, HOME, {"TH": 30})
    found = balancing.balance(house.context, HOME, NEXT_WEEK)
    assert [(move.step, move.minutes, move.to) for move in found.moves] == [("area-hour", 60, on(8))]
    balancing.accept(house.context, HOME, NEXT_WEEK, {"area-hour": on(8)})
    days = week(house.context, HOME, NEXT_WEEK).days
    assert [day.minutes for day in days] == [day.minutes for day in found.after.days]
    assert minutes(house, NEXT_WEEK) == {"MO": (62, 60)}


def test_with_chosen_days_balance_leaves_the_areas_minutes_where_they_are(house: AreaHouse) -> None:
    area_turns.arrange(house.context, HOME, {"area_days": ["TH"]})
    set_available(house.context, HOME, {"TH": 30})
    found = balancing.balance(house.context, HOME, NEXT_WEEK)
    assert (found.moves, found.after.overload) == ((), 32)
