"""A little help with a step that does not hold: after three misses of four, or after ten outcomes."""

from __future__ import annotations

import pytest

from coach.habits.day import day as day_on
from coach.habits.day import today
from habits.house import HOME, House
from progress.living import a_course, a_step, on

ONE = a_course(a_step("bed", settles={"kept": 3, "of": 4}))


def stuck_on_each_day(house: House, marks: str) -> list[list[str]]:
    """Why the bed is offered help as each day opens, marked by these letters: k kept, m missed, . not."""
    found: list[list[str]] = []
    for day, letter in enumerate(marks, 1):
        house.at(day)
        found.append([step.because for step in today(house.context, HOME).stuck])
        if letter != ".":
            house.mark(day, "bed", "kept" if letter == "k" else "missed")
    return found


@pytest.mark.parametrize(
    ("marks", "offered"),
    [
        ("mmkm.", "....l"),
        ("mkmmk.", "....l."),
        ("mkkmm.", "......"),
        ("mmm.", "...l"),
        ("....", "...l"),
        ("mmkmkk", "....l."),
        ("kmkmkmkmkmk", "..........L"),
    ],
)
def test_help_comes_after_three_misses_of_four_or_ten_outcomes(marks: str, offered: str) -> None:
    names = {".": [], "l": ["lately"], "L": ["long"]}
    assert stuck_on_each_day(House(ONE).begun(), marks) == [names[letter] for letter in offered]


def test_a_step_that_has_settled_needs_none() -> None:
    assert stuck_on_each_day(House(ONE).begun(), "kkkmmm.")[-1] == []


def test_a_step_that_nothing_waits_for_is_helped_after_misses_and_not_for_being_slow() -> None:
    house = House(a_course(a_step("bed", waits=False, settles={"kept": 3, "of": 4}))).begun()
    assert stuck_on_each_day(house, "kmkmkmkmkmk")[-1] == []
    assert stuck_on_each_day(House(house.shelf.course("")).begun(), "mmm.")[-1] == ["lately"]


def test_the_one_that_missed_most_comes_first_and_says_how_it_went() -> None:
    house = House(a_course("bed", "cups", at_once=2)).begun()
    for day in range(1, 7):
        house.at(day)
        if day > 1:
            house.mark(day, "bed", "kept" if day == 4 else "missed")
            house.mark(day, "cups", "missed")
        else:
            house.mark(day, "bed", "missed")
    house.at(7)
    house.mark(1, "bed", "excused")
    found = today(house.context, HOME).stuck
    assert [(step.step, step.kept, step.due) for step in found] == [("cups", 0, 5), ("bed", 1, 5)]
    assert [step.text for step in found] == [
        "Kept 0 of the last 4. That says more about the fit than about you.",
        "Kept 1 of the last 4. That says more about the fit than about you.",
    ]


def test_help_is_offered_today_alone_and_not_while_away() -> None:
    house = House(ONE).begun()
    stuck_on_each_day(house, "mmmm")
    assert day_on(house.context, HOME, on(3)).stuck == ()
    house.at(30)
    assert today(house.context, HOME).stuck == ()
