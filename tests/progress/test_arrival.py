"""Which rule let a step in on the day it came."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from coach.progress.arrival import Because, causes
from coach.progress.journal import Version, journal
from coach.progress.replay import begin, open_on
from progress.living import FIRST, a_course, a_step, days, marks, on, row, start

if TYPE_CHECKING:
    from coach.course.model import Course
    from coach.progress.log import Row

THREE = a_course("bed", a_step("cups", after=["bed"]), a_step("lamp", after=["bed", "cups"]))
SIDE = a_course("bed", "cups", a_step("job", waits=False))
SLOW = a_course(a_step("bed", waits=False, settles={"kept": 9, "of": 9}), *"abc")


def why(course: Course, rows: list[Row], day: int) -> tuple[str | None, list[Because]]:
    """The step that came on a day, and why."""
    book = journal([Version(FIRST, course)], rows)
    state = begin(book)
    opening = open_on(state, book, on(day))
    if opening.introduced is None:
        return None, []
    found = causes(state, on(day), opening.introduced, book.decisions_between(state.through, on(day)))
    return opening.introduced, list(found)


def kept(first: int, last: int, *steps: str) -> list[Row]:
    """These steps kept on the days from one to another."""
    return marks("kept", days(first, last), *steps)


def test_the_first_step_is_the_one_to_begin_with() -> None:
    assert why(THREE, start(), 1) == ("bed", [Because("start", "bed")])


def test_a_step_comes_after_one_that_has_held() -> None:
    rows = [*start(), row(1, "missed", "bed"), *kept(2, 3, "bed")]
    assert why(THREE, rows, 4) == ("cups", [Because("after", "bed", 2, 3)])


@pytest.mark.parametrize("course", [THREE, SIDE])
@pytest.mark.parametrize(
    "harder", [row(3, "pace", value="gentle"), row(3, "adjust", "bed", '{"settles": {"kept": 3, "of": 4}}')]
)
def test_a_harder_rule_of_that_day_leaves_out_numbers_that_would_not_meet_it(
    course: Course, harder: Row
) -> None:
    """It settled by 2 of 3; as 2 of 4 would not have been enough, nothing is said of how many."""
    _, (because,) = why(course, [*start(), *kept(1, 2, "bed"), harder], 3)
    assert (because.step, because.kept, because.of) == ("bed", None, None)


def test_an_easier_rule_of_that_day_is_met_by_the_numbers_said() -> None:
    rows = [
        *start(pace="gentle"),
        row(1, "missed", "bed"),
        *kept(2, 4, "bed"),
        row(5, "pace", value="standard"),
    ]
    assert why(THREE, rows, 5) == ("cups", [Because("after", "bed", 3, 3)])


def test_of_several_before_it_only_the_latest_has_numbers() -> None:
    rows = [*start(), *kept(1, 4, "bed"), *kept(3, 4, "cups")]
    assert why(THREE, rows, 5) == ("lamp", [Because("after", "bed"), Because("after", "cups", 2, 3)])


def test_a_step_that_was_set_aside_opens_the_gate_too() -> None:
    rows = [*start(), row(2, "set-aside", "bed")]
    assert why(THREE, rows, 2) == ("cups", [Because("aside", "bed")])


def test_one_of_several_before_it_is_enough() -> None:
    course = a_course("bed", "cups", a_step("lamp", after_any=["cups", "bed"]))
    rows = [*start(), row(1, "next", "lamp"), *kept(1, 2, "bed")]
    assert why(course, rows, 3) == ("lamp", [Because("next", "lamp"), Because("after", "bed", 2, 3)])


def test_a_waiting_step_takes_the_room_that_another_left() -> None:
    assert why(SIDE, [*start(), *kept(1, 2, "bed")], 3) == ("cups", [Because("room", "bed", 2, 3)])
    aside = [*start(), row(2, "set-aside", "bed"), row(2, "kept", "bed")]
    assert why(SIDE, aside, 2) == ("cups", [Because("room", "bed")])


def test_a_step_waits_its_turn_behind_one_that_came_the_day_before() -> None:
    course = a_course("bed", "cups", a_step("job", after=["bed"], waits=False))
    assert why(course, [*start(), *kept(1, 3, "bed")], 4) == ("job", [Because("turn", "cups")])


def test_what_the_household_wanted_is_said_first() -> None:
    rows = [*start(), row(1, "next", "job"), row(1, "kept", "bed")]
    course = a_course("bed", a_step("cups", waits=False), a_step("job", waits=False))
    assert why(course, rows, 2) == ("job", [Because("next", "job"), Because("turn", "bed")])


def test_a_higher_ceiling_lets_a_step_in() -> None:
    course = a_course(a_step("bed", minutes=5), a_step("cups", minutes=10))
    rows = [*start(), row(1, "minutes", value="10"), *kept(1, 4, "bed")]
    assert why(course, rows, 4) == (None, [])
    raised = [*rows, row(5, "minutes", value="20")]
    assert why(course, raised, 5) == ("cups", [Because("minutes", "cups", 15, 20)])
    lifted = [*rows, row(5, "minutes")]
    assert why(course, lifted, 5) == ("cups", [Because("minutes", "cups", 15, None)])


def test_a_step_that_is_added_or_restored_comes_by_that() -> None:
    added = row(5, "add", "mine", '{"title": "Mine", "waits": false}')
    assert why(a_course("bed"), [*start(), *kept(1, 4, "bed"), added], 5) == (
        "mine",
        [Because("added", "mine")],
    )
    rows = [*start(), row(1, "set-aside", "job"), *kept(1, 5, "bed", "cups"), row(6, "restore", "job")]
    assert why(SIDE, rows, 6) == ("job", [Because("added", "job")])


def test_a_step_comes_once_enough_was_kept_lately() -> None:
    rows = [*start(), row(1, "minutes", value="0"), *marks("missed", days(1, 2), "bed"), *kept(3, 5, "bed")]
    course = a_course(a_step("bed", waits=False, settles={"kept": 9, "of": 9}), a_step("job", waits=False))
    assert [why(course, rows, day)[0] for day in (2, 3, 4, 5)] == [None] * 4
    assert why(course, rows, 6) == ("job", [Because("hold", None, 3, 5)])


@pytest.mark.parametrize("paused", [True, False])
def test_where_nothing_nearer_is_known_the_gate_or_nothing_is_said(paused: bool) -> None:  # noqa: FBT001  pytest names it
    """Days away stand between the step that held and the one that came."""
    course = a_course("bed", a_step("cups", after=["bed"] if paused else []), at_once=1 if paused else 2)
    rows = [*start(), *kept(1, 2, "bed")] if paused else [*start(), row(1, "kept", "bed")]
    rows.append(row(3 if paused else 2, "pause", value=on(4).isoformat()))
    expected = [Because("after", "bed")] if paused else [Because("free")]
    assert why(course, rows, 5) == ("cups", expected)
