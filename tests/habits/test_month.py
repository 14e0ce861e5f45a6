"""A month at a glance: its days, what was kept in it, what came and settled."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING, get_args

import pytest

from coach.errors import Malformed, OutOfRange
from coach.habits import pauses
from coach.habits.answers import MarkName
from coach.habits.month import month, month_name
from habits.house import HOME, House
from progress.living import a_course, a_step, on

if TYPE_CHECKING:
    from coach.habits.gone_by import Month


def month_of(house: House, day: int) -> Month:
    return month(house.context, HOME, month_name(on(day)))


def of_days(found: Month, first: int, last: int) -> list[tuple[str, int, int]]:
    """State, kept and of of some days, counted from the start."""
    by_date = {day.date: day for day in found.days}
    days = [by_date[on(number)] for number in range(first, last + 1)]
    return [(day.state, day.kept, day.of) for day in days]


def test_an_outcome_counts_on_the_day_it_closed_and_an_excused_line_has_none() -> None:
    house = House(a_course(a_step("bed"))).begun("bed")
    for day, mark in enumerate(get_args(MarkName), 1):
        house.at(day).mark(day, "bed", mark)
    found = month_of(house.at(6), 1)
    told = {"kept": (1, 1), "small": (1, 1), "missed": (0, 1), "excused": (0, 0)}
    assert of_days(found, 1, 4) == [("lived", *told[mark]) for mark in get_args(MarkName)]
    assert of_days(found, 5, 5) == [("lived", 0, 1)]
    assert (found.kept, found.of) == (2, 4)


def test_every_date_of_the_month_is_told_once_and_those_to_come_are_ahead() -> None:
    house = House().begun("bed").at(3)
    found = month_of(house, 1)
    assert [day.date for day in found.days] == [
        found.first + timedelta(days=ahead) for ahead in range(len(found.days))
    ]
    assert (found.days[-1].date + timedelta(days=1)).day == 1
    states = {day.date: day.state for day in found.days}
    assert all(states[day] == "before" for day in states if day < on(1))
    assert all(states[day] == "ahead" for day in states if day > house.today)


def test_days_away_are_told_as_such_and_count_nothing() -> None:
    house = House().begun("bed")
    house.mark(1, "bed")
    pauses.pause(house.at(2).context, HOME)
    pauses.resume(house.at(4).context, HOME)
    assert of_days(month_of(house.at(5), 1), 1, 4) == [
        ("lived", 1, 1), ("away", 0, 0), ("away", 0, 0), ("lived", 0, 1)
    ]  # fmt: skip


def test_today_is_told_as_far_as_it_has_come_and_is_in_no_sum() -> None:
    house = House().begun("bed")
    before = month_of(house, 1)
    assert of_days(before, 1, 1) == [("today", 0, 1)]
    house.mark(1, "bed")
    after = month_of(house, 1)
    assert of_days(after, 1, 1) == [("today", 1, 1)]
    assert (after.kept, after.of) == (before.kept, before.of) == (0, 0)


def test_what_came_and_settled_in_it_is_told_with_its_date() -> None:
    house = House().begun("bed")
    for day in range(1, 4):
        house.at(day).mark(day, "bed")
    found = month_of(house.at(4), 1)
    assert ("bed", on(1)) in [(step.step, step.on) for step in found.came]
    assert [(step.step, step.on) for step in found.settled] == [("bed", on(2))]
    later = month_of(house.at(60), 50)
    assert "bed" not in [step.step for step in (*later.came, *later.settled)]


def test_the_months_lie_between_the_start_and_today() -> None:
    house = House().begun("bed").at(70)
    last = month(house.context, HOME, month_name(on(70)))
    seen = [last.month]
    while last.earlier:
        last = month(house.context, HOME, last.earlier)
        seen.append(last.month)
    assert (seen[0], seen[-1]) == (month_name(on(70)), month_name(on(1)))
    for beyond in (on(1).replace(day=1) - timedelta(days=1), on(70) + timedelta(days=31)):
        with pytest.raises(OutOfRange):
            month(house.context, HOME, month_name(beyond))


@pytest.mark.parametrize("name", ["2027-13", "2027-1", "0000-01", "January", "2027-01-01", ""])
def test_what_is_no_month_is_refused(name: str) -> None:
    house = House().begun("bed")
    with pytest.raises(Malformed, match="is not a month"):
        month(house.context, HOME, name)


def test_the_days_are_those_that_are_folded_from_nothing() -> None:
    house = House().begun("bed")
    for day in range(1, 40):
        house.at(day).mark(day, "bed")
    house.at(45)
    name = month_name(on(20))
    assert month(house.context, HOME, name) == month(house.without_cache(), HOME, name)
