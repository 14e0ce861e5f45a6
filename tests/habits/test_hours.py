"""Which part of the day it is: by the clock, by the hours a household keeps, and over midnight."""

from __future__ import annotations

from datetime import UTC, datetime, time

import pytest

from coach.ground.situation import looking
from coach.habits.hours import FEWEST_MARKS, SLOTS, minutes_into, present_part, usual_moments
from coach.habits.parts import present_in, usual_hours
from habits.house import HOME, House
from progress.living import on

THREE = time(3)


def at(hour: str, usual: dict[str, str] | None = None, day_starts: time = THREE) -> str:
    """The part that is on at an hour, given the usual hours of some parts."""
    now = datetime.combine(on(1), time.fromisoformat(hour), UTC)
    known = usual or {}
    moments = {
        slot: minutes_into(time.fromisoformat(known[slot]), day_starts) for slot in SLOTS if slot in known
    }
    return present_part(now, day_starts, moments)


@pytest.mark.parametrize(
    ("hour", "part"),
    [
        ("03:00", "morning"),
        ("10:59", "morning"),
        ("11:00", "anytime"),
        ("16:59", "anytime"),
        ("17:00", "evening"),
        ("23:59", "evening"),
        ("01:30", "evening"),
        ("02:59", "evening"),
    ],
)
def test_without_a_habit_the_clock_tells_the_part_until_the_day_ends(hour: str, part: str) -> None:
    assert at(hour) == part


def test_a_part_begins_an_hour_before_its_lines_are_usually_marked() -> None:
    usual = {"evening": "20:30"}
    assert [at(hour, usual) for hour in ("19:29", "19:30", "23:00")] == ["anytime", "evening", "evening"]
    usual = {"evening": "15:00"}
    assert [at(hour, usual) for hour in ("13:59", "14:00", "16:30")] == ["anytime", "evening", "evening"]


def test_around_its_usual_moment_a_part_stays_though_the_clock_would_go_on() -> None:
    usual = {"morning": "11:30"}
    assert [at(hour, usual) for hour in ("10:45", "11:30", "12:30", "12:31")] == [
        "morning",
        "morning",
        "morning",
        "anytime",
    ]


def test_of_two_usual_moments_the_nearer_one_counts() -> None:
    usual = {"morning": "20:00", "evening": "21:00"}
    assert [at(hour, usual) for hour in ("20:29", "20:30", "20:31")] == ["morning", "evening", "evening"]


def test_a_household_on_night_shifts_has_its_evening_in_the_morning() -> None:
    usual = {"evening": "07:30", "morning": "16:00"}
    assert [at(hour, usual) for hour in ("06:45", "08:00", "15:30", "20:00")] == [
        "evening",
        "evening",
        "morning",
        "morning",
    ]


def test_before_anything_has_begun_the_first_part_is_on() -> None:
    usual = {"morning": "08:00", "anytime": "13:00", "evening": "20:00"}
    assert at("04:00", usual) == "morning"


def test_with_days_from_midnight_half_past_one_is_a_morning() -> None:
    assert at("01:30", day_starts=time(0)) == "morning"


def test_a_usual_moment_is_the_middle_one_of_marks_enough() -> None:
    few = [("evening", 900)] * (FEWEST_MARKS - 1)
    assert usual_moments(few) == {}  # type: ignore[arg-type]  # a list of pairs
    assert usual_moments([*few, ("evening", 1200)]) == {"evening": 900}  # type: ignore[list-item]  # the same


def a_week_marked(hour: str, *, late: bool = False) -> House:
    """Day 8 of a house whose morning line was marked at an hour of its own day, or of the day after."""
    house = House().begun()
    for day in range(1, 8):
        house.at(day + late, hour)
        house.mark(day, "bed")
    return house.at(8)


def test_the_hours_are_those_of_the_marks_and_last_for_the_day() -> None:
    house = a_week_marked("09:30")
    with looking(house.context, HOME) as where:
        assert usual_hours(where) == {"morning": 390}
    with looking(house.at(8, "08:00").context, HOME) as where:
        assert present_in(where) == "morning"


def test_what_is_filled_in_on_a_later_day_says_nothing_of_the_hour() -> None:
    house = a_week_marked("09:30", late=True)
    with looking(house.context, HOME) as where:
        assert usual_hours(where) == {}


def test_lines_that_were_excused_say_nothing_of_the_hour() -> None:
    """Only a few today is mostly chosen early, and leaves out lines of every part of the day."""
    house = House().begun()
    for day in range(1, 8):
        house.at(day, "07:00").mark(day, "bed", "excused")
    with looking(house.at(8).context, HOME) as where:
        assert usual_hours(where) == {}


def test_the_hour_is_that_of_the_households_clock() -> None:
    house = House().begun()
    for hour, part in (("12:00", "anytime"), ("23:30", "evening")):
        with looking(house.at(1, hour).context, HOME) as where:
            assert present_in(where) == part
