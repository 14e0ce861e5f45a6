"""The ramp: what comes when everything is kept, and why a course is refused for it (rules §3)."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

import pytest

from coach.progress.journal import Version, journal
from coach.progress.ramp import Ramp, comes_next, ramp, ramp_fault
from coach.progress.state_form import state_json
from progress.living import a_course, a_step, closed, marks, on, opened, row, start

if TYPE_CHECKING:
    from coach.course.model import Course

CHAIN = a_course(
    "bed", a_step("cups", after=["bed"]), a_step("job", after=["cups"], waits=False), ramp_days=5
)


def test_steps_come_one_after_the_other_and_settle_in_between() -> None:
    assert ramp(CHAIN, "", "standard", 5) == Ramp({"bed": 1, "cups": 3, "job": 5}, {"bed": 2, "cups": 4})


def test_a_gentle_pace_takes_one_day_more_for_each_waiting_step() -> None:
    assert ramp(CHAIN, "bed", "gentle", 7) == Ramp({"bed": 1, "cups": 4, "job": 7}, {"bed": 3, "cups": 6})


def test_nothing_after_the_last_day_is_told() -> None:
    assert ramp(CHAIN, "", "standard", 4) == Ramp({"bed": 1, "cups": 3}, {"bed": 2, "cups": 4})


def test_a_course_that_keeps_its_days_is_not_refused() -> None:
    assert ramp_fault(CHAIN) is None


@pytest.mark.parametrize(
    ("course", "words"),
    [
        (
            a_course("bed", a_step("cups", after=["bed"]), ramp_days=3),
            "Started with “bed” on a Monday and with everything kept, “cups” has not settled by the end",
        ),
        (
            a_course(
                "bed", a_step("cups", after=["bed"]), a_step("job", after=["cups"], waits=False), ramp_days=4
            ),
            "“job” has not been introduced by the end of day 4 (ramp_days).",
        ),
        (
            a_course("bed", a_step("job", repeats="FREQ=WEEKLY;BYDAY=SU"), ramp_days=14),
            "Started with “bed” on a Saturday and with everything kept, “job” has not settled",
        ),
        (
            a_course("bed", a_step("cups", settles={"kept": 5, "of": 5}), ramp_days=6),
            "Started with “bed” on a Monday and with everything kept, “cups” has not settled",
        ),
    ],
)
def test_a_course_whose_ramp_takes_longer_is_refused_with_the_way_it_was_reached(
    course: Course, words: str
) -> None:
    assert words in (ramp_fault(course) or "")


def test_every_root_and_every_weekday_has_to_keep_the_days() -> None:
    slow_from_cups = a_course("bed", a_step("cups", settles={"kept": 3, "of": 3}), ramp_days=5)
    assert ramp_fault(slow_from_cups) is None
    sundays = a_course(
        a_step("bed", repeats="FREQ=WEEKLY;BYDAY=SU", settles={"kept": 1, "of": 1}), ramp_days=6
    )
    assert "on a Monday" in (ramp_fault(sundays) or "")


def test_it_begins_with_the_root_one_begins_with() -> None:
    assert ramp(a_course("bed", "cups"), "cups", "standard", 1) == Ramp({"cups": 1}, {})
    quick = a_step("bed", settles={"kept": 1, "of": 1})
    course = a_course(quick, "cups", a_step("lamp", after=["bed"], waits=False), ramp_days=3)
    assert "Started with “cups” on a Monday" in (ramp_fault(course) or "")


def test_what_comes_next_is_told_without_changing_anything() -> None:
    rows = [*start(), row(1, "kept", "bed")]
    state, opening = opened(CHAIN, rows, 2)
    before = state_json(state)
    assert comes_next(state, journal([Version(date.min, CHAIN)], rows), opening) == "cups"
    assert state_json(state) == before


def test_what_comes_next_heeds_the_households_wish_and_what_it_set_aside() -> None:
    roots = a_course("bed", "cups", "door")
    for extra, expected in [
        ([], "cups"),
        ([row(1, "next", "door")], "door"),
        ([row(1, "set-aside", "cups")], "door"),
    ]:
        state, opening = opened(roots, [*start(), *extra], 1)
        assert comes_next(state, journal([Version(date.min, roots)], [*start(), *extra]), opening) == expected


def test_what_comes_next_heeds_what_is_marked_today() -> None:
    lamps = [a_step("hall", after=["bed"]), a_step("stairs", after=["cups"])]
    course = a_course("bed", "cups", *lamps, at_once=2)
    rows = [*start(), row(1, "excused", "bed"), *marks("kept", [2], "bed", "cups")]
    expected = {"kept": "hall", "missed": "stairs"}
    for what, step in expected.items():
        today = [*rows, row(3, what, "bed"), row(3, "kept", "cups")]
        state, opening = opened(course, today, 3)
        assert comes_next(state, journal([Version(date.min, course)], today), opening) == step


def test_nothing_comes_next_when_all_has_come() -> None:
    rows = [*start(), *marks("kept", [1, 2], "bed")]
    state, opening = opened(a_course("bed"), rows, 3)
    assert comes_next(state, journal([Version(date.min, a_course("bed"))], rows), opening) is None


def test_what_comes_next_is_told_on_a_lapsed_day_too() -> None:
    assert closed(CHAIN, start(), 7).lapsed
    state, opening = opened(CHAIN, start(), 9)
    # Keeping everything means nothing while nothing is due, so nothing is foretold.
    assert comes_next(state, journal([Version(date.min, CHAIN)], start()), opening) is None
    assert opening.date == on(9) == on(1) + timedelta(days=8)
