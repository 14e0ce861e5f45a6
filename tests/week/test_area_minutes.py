"""This week's area in the week: its minutes by date, counted once, and moved with the area's hour."""

from __future__ import annotations

import pytest

from areas.house import AreaHouse
from coach.areas import setup
from coach.areas import turns as area_turns
from coach.habits import pauses
from coach.habits.steps import adjust
from coach.week import balance as balancing
from coach.week.days import set_available, week
from habits.house import HOME
from progress.living import a_course, a_step, on

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


TWICE = a_course(
    a_step("bed", minutes=2),
    a_step("area-time", repeats="FREQ=WEEKLY;BYDAY=TU,FR", waits=False, minutes=20, works_in="areas"),
    a_step("dry-round", repeats="FREQ=WEEKLY;BYDAY=WE", waits=False, minutes=25),
)


@pytest.fixture
def twice() -> AreaHouse:
    """A house whose course works in areas twice a week, for twenty minutes each."""
    house = AreaHouse((), course=TWICE)
    setup.set_up(house.context, HOME, ["Kitchen", "Bath", "Bedroom"], 3)
    house.live(2)
    return house


def test_two_sittings_a_week_hold_the_areas_minutes_and_none_of_their_own(twice: AreaHouse) -> None:
    assert minutes(twice, NEXT_WEEK) == {"TU": (22, 20), "FR": (22, 20)}
    days = week(twice.context, HOME, NEXT_WEEK).days
    assert [day.minutes for day in days] == [2, 22, 27, 2, 22, 2, 2]


def test_moved_to_other_days_the_sittings_take_the_areas_minutes_along(twice: AreaHouse) -> None:
    adjust(twice.context, HOME, "area-time", {"repeats": "FREQ=WEEKLY;BYDAY=MO,SA"})
    assert minutes(twice, NEXT_WEEK) == {"MO": (22, 20), "SA": (22, 20)}
    assert twice.areas.area_days == ("MO", "SA")


def test_balance_leaves_two_sittings_and_moves_what_can_be_moved(twice: AreaHouse) -> None:
    set_available(twice.context, HOME, {"WE": 10})
    found = balancing.balance(twice.context, HOME, NEXT_WEEK)
    assert [move.step for move in found.moves] == ["dry-round"]
    assert [day.minutes for day in found.after.days if day.weekday in {"TU", "FR"}] == [22, 22]


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
