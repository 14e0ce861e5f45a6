"""Exact paces against the replay of logs: where one is told, the days of a course are those of its steps."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from random import Random
from typing import TYPE_CHECKING

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from coach.course.model import Course, Hold, Lesson, Settles, Step
from coach.errors import Malformed
from coach.pace.exact import in_turn
from coach.progress.closing import close_day
from coach.progress.days import following
from coach.progress.journal import Version, journal
from coach.progress.log import Mark, Row, What
from coach.progress.opening import open_day
from coach.progress.ramp import ramp
from coach.progress.replay import begin, replay

if TYPE_CHECKING:
    from collections.abc import Collection

START = date(2027, 1, 4)
LONG = 120
PACES = {"standard": 0, "more": 1}
KEPT = {What.KEPT, What.SMALL}
ANSWERS = (Mark.KEPT, Mark.KEPT, Mark.SMALL, Mark.MISSED, None)
"""What becomes of a line, each alike often; without an answer it is missed too."""


@st.composite
def courses(draw: st.DrawFn) -> Course:
    """Small courses that no hold and no lapse keeps back, and whose waiting steps fall every day."""
    steps: list[Step] = []
    for number in range(draw(st.integers(1, 6))):
        waits = draw(st.sampled_from((True, True, False)))
        of = draw(st.integers(1, 4))
        ids = [step.id for step in steps]
        some = st.lists(st.sampled_from(ids), max_size=2, unique=True) if ids else st.just([])
        steps.append(
            Step(
                id=f"step-{number}",
                title=f"Step {number}",
                repeats="FREQ=DAILY" if waits else draw(st.sampled_from(("FREQ=DAILY", "FREQ=WEEKLY"))),
                after=tuple(draw(some)),
                after_any=tuple(draw(some)),
                settles=Settles(draw(st.integers(1, of)), of),
                waits=waits,
                lessons=(Lesson("One", "Text."),),
            )
        )
    return Course("Small", tuple(steps), hold=Hold(0.0, 1), lapse_after=10_000, paces=PACES)


def turns(course: Course, pace: str) -> list[Step]:
    """The waiting steps in the order in which they come; none where no exact pace is told."""
    try:
        return in_turn(course, pace)
    except Malformed:
        return []


def lived(course: Course, pace: str, random: Random) -> list[Row]:
    """The log of a household that answers the lines of every checklist at random."""
    rows = [Row(START, What.START, "", pace)]
    book = journal([Version(date.min, course)], rows)
    state, day = begin(book), START
    while (day - START).days < LONG:
        opening = open_day(state, book, day)
        answers = {step: random.choice(ANSWERS) for step in opening.checklist}
        marks = {step: mark for step, mark in answers.items() if mark}
        rows += [Row(day, What(mark.value), step) for step, mark in marks.items()]
        close_day(state, replace(opening, marks=marks))
        day = following(day, state.zone)
    return rows


def own_days(rule: Settles, came: date, kept_on: Collection[date]) -> int:
    """How many outcomes of its own a daily step took to settle, read from the sentence of the rule."""
    outcomes: list[bool] = []
    while sum(outcomes[-rule.of :]) < rule.kept and len(outcomes) < LONG:
        outcomes.append(came + timedelta(days=len(outcomes)) in kept_on)
    return len(outcomes)


@settings(max_examples=150)
@given(courses(), st.sampled_from(list(PACES)), st.integers(0, 10_000))
def test_a_course_takes_as_many_days_as_its_waiting_steps_took_outcomes(
    course: Course, pace: str, seed: int
) -> None:
    waiting = turns(course, pace)
    assume(waiting)
    rows = lived(course, pace, Random(seed))  # noqa: S311  a story, not a secret
    standings = replay(course, rows, START + timedelta(days=LONG)).steps
    dates = [(at.introduced_on, at.settled_on) for step in waiting if (at := standings.get(step.id))]
    through = [(came, settled) for came, settled in dates if came and settled]
    assume(len(through) == len(waiting))
    took = 0
    for step, (came, _) in zip(waiting, through, strict=True):
        kept_on = {row.date for row in rows if row.step == step.id and row.what in KEPT}
        took += own_days(step.settles.at_pace(PACES[pace]), came, kept_on)
    assert [settled for _, settled in through] == sorted(settled for _, settled in through)
    assert (through[-1][1] - START).days + 1 == took


def test_a_step_behind_one_that_does_not_wait_can_be_kept_back_though_nothing_does_with_everything_kept() -> (
    None
):
    first = Step("first", "First", settles=Settles(3, 3))
    beside = Step("beside", "Beside", settles=Settles(1, 1), waits=False)
    behind = Step("behind", "Behind", settles=Settles(1, 1), after=("beside",))
    course = Course("Behind", (first, beside, behind), hold=Hold(0.0, 1), lapse_after=10_000)
    assert ramp(course, "", "standard", 10).introduced["behind"] == 4
    rows = [Row(START, What.START)]
    rows += [Row(START + timedelta(days=day), What.KEPT, "first") for day in range(4)]
    rows += [Row(START + timedelta(days=5), What.KEPT, "beside")]
    came = replay(course, rows, START + timedelta(days=10)).steps["behind"].introduced_on
    assert came == START + timedelta(days=6)
    with pytest.raises(Malformed, match="“behind” comes after “beside”, which does not wait"):
        in_turn(course, "standard")
