"""Being away on purpose, calling it off, and taking the list up again."""

from __future__ import annotations

from typing import Literal

import pytest

from coach.errors import Malformed, NotEditable
from coach.habits import pauses
from coach.habits.day import today
from habits.house import HOME, House
from progress.living import on


def paused(house: House, first: int, last: int) -> list[int]:
    """Which of these days are paused when they come, and nothing is marked."""
    found = []
    for day in range(first, last + 1):
        house.at(day)
        if today(house.context, HOME).phase == "paused":
            found.append(day)
    return found


def lived(days: int) -> House:
    """A household that kept its whole list for some days; it is the evening of the last."""
    house = House().begun()
    for day in range(1, days + 1):
        house.at(day)
        for line in today(house.context, HOME).checklist:
            house.mark(day, line.step)
    return house


def test_a_pause_without_dates_begins_today_and_is_open() -> None:
    house = House().begun()
    day = pauses.pause(house.context, HOME)
    assert house.written() == ["1 pause"]
    assert day.phase == "ramping"  # the first day is never paused
    assert paused(house, 1, 20) == list(range(2, 21))


def test_a_pause_has_its_first_and_its_last_day() -> None:
    house = House().begun()
    pauses.pause(house.context, HOME, on(3), on(5))
    assert paused(house, 1, 7) == [3, 4, 5]


def test_a_pause_shows_while_it_runs_and_while_it_is_planned() -> None:
    house = House().begun()
    planned = pauses.pause(house.context, HOME, on(3), on(5)).pauses
    assert [(pause.since, pause.until, pause.running) for pause in planned] == [(on(3), on(5), False)]
    house.at(4)
    running = today(house.context, HOME).pauses
    assert [(pause.since, pause.until, pause.running) for pause in running] == [(on(3), on(5), True)]


def test_a_pause_from_today_begins_tomorrow_if_something_is_marked_already() -> None:
    house = lived(2)
    day = pauses.pause(house.context, HOME)
    assert house.written()[-1] == "3 pause"
    assert day.phase == "ramping"
    assert [(pause.since, pause.running) for pause in day.pauses] == [(on(3), False)]
    assert paused(house, 2, 5) == [3, 4, 5]


@pytest.mark.parametrize(
    ("since", "until", "error", "words"),
    [
        (4, 9, NotEditable, "A pause begins today, 8 January 2027, or later, not on 7 January 2027."),
        (
            8,
            7,
            Malformed,
            "A pause from 11 January 2027 cannot end on 10 January 2027. Choose a later last day, or none.",
        ),
        (5, 4000, Malformed, "That is more than ten years ahead. Choose an earlier date."),
        (4000, None, Malformed, "That is more than ten years ahead. Choose an earlier date."),
    ],
)
def test_a_pause_nobody_can_make_is_refused(
    since: int, until: int | None, error: type[Exception], words: str
) -> None:
    house = House().begun()
    house.at(5)
    with pytest.raises(error, match=words):
        pauses.pause(house.context, HOME, on(since), None if until is None else on(until))
    assert house.written() == []


def test_a_pause_for_today_alone_is_refused_once_something_is_marked() -> None:
    house = lived(2)
    with pytest.raises(Malformed, match="cannot end on"):
        pauses.pause(house.context, HOME, on(2), on(2))


def test_a_resume_ends_the_pause_today() -> None:
    house = House().begun()
    pauses.pause(house.context, HOME, on(3), on(9))
    assert paused(house, 2, 5) == [3, 4, 5]
    assert pauses.resume(house.context, HOME).phase == "ramping"
    assert paused(house, 5, 10) == []


def test_a_resume_with_nothing_to_resume_writes_nothing() -> None:
    house = lived(2)
    before = house.written()
    pauses.resume(house.context, HOME)
    assert house.written() == before


@pytest.mark.parametrize(("choice", "back"), [(None, 1), ("all", 4), ("one", 1)])
def test_after_a_lapse_a_household_chooses_how_much_comes_back(
    choice: Literal["all", "one"] | None, back: int
) -> None:
    house = lived(6)  # four steps have come
    house.at(28)
    away, day = today(house.context, HOME), pauses.resume(house.context, HOME, choice)
    assert away.welcome_back is not None
    assert (away.phase, away.welcome_back.returned, away.welcome_back.gap) == ("lapsed", False, 21)
    assert day.welcome_back is not None
    assert (day.welcome_back.returned, day.welcome_back.chosen) == (True, choice)
    assert (day.welcome_back.back, day.welcome_back.of, len(day.resting)) == (back, 4, 4 - back)


def test_on_the_day_of_the_return_the_choice_can_still_be_changed() -> None:
    house = lived(6)
    house.at(28)
    house.mark(28, "bed")
    usual = len(today(house.context, HOME).resting)
    assert len(pauses.resume(house.context, HOME, "all").resting) == 0 < usual
    assert len(pauses.resume(house.context, HOME, "one").resting) >= usual


def test_a_choice_on_any_other_day_is_refused() -> None:
    house = lived(3)
    with pytest.raises(NotEditable, match="Today is no day of return, so there is nothing to choose"):
        pauses.resume(house.context, HOME, "all")


def test_a_planned_pause_can_be_called_off() -> None:
    house = House().begun()
    pauses.pause(house.context, HOME, on(5), on(9))
    assert pauses.call_off(house.context, HOME, on(5)).pauses == ()
    assert paused(house, 1, 10) == []


def test_calling_off_one_plan_leaves_the_other() -> None:
    house = House().begun()
    pauses.pause(house.context, HOME, on(5), on(6))
    pauses.pause(house.context, HOME, on(9), on(10))
    pauses.call_off(house.context, HOME, on(5))
    assert paused(house, 1, 12) == [9, 10]


@pytest.mark.parametrize("day", [3, 4, 6, 30])
def test_only_a_pause_that_has_not_begun_can_be_called_off(day: int) -> None:
    house = House().begun()
    house.at(2)
    pauses.pause(house.context, HOME, on(3), on(5))
    house.at(4)
    with pytest.raises(NotEditable, match="No pause is planned from"):
        pauses.call_off(house.context, HOME, on(day))


def test_a_plan_called_off_twice_says_so() -> None:
    house = House().begun()
    pauses.pause(house.context, HOME, on(5))
    pauses.call_off(house.context, HOME, on(5))
    with pytest.raises(NotEditable, match="No pause is planned from 8 January 2027"):
        pauses.call_off(house.context, HOME, on(5))


def test_a_return_from_a_long_pause_greets_and_lets_choose() -> None:
    house = lived(6)
    pauses.pause(house.context, HOME, None, on(15))
    house.at(16)
    day = today(house.context, HOME)
    assert day.phase == "rebuilding"
    assert day.welcome_back is not None
    assert day.welcome_back.returned
    assert pauses.resume(house.context, HOME, "all").resting == ()
