"""The group that is shown can be entered into an empty store, and shows a coach what there is to see."""

from __future__ import annotations

from collections import Counter
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING

import pytest

from coach.coaching.demo_group import COACH, GROUP, furnish_group, household_of
from coach.coaching.library import FolderLibrary
from coach.coaching.rules.counts import Count
from coach.coaching.rules.hiding import Telling
from coach.coaching.rules.incidence import incidence
from coach.coaching.rules.median import median
from coach.coaching.rules.telling import Told
from coach.coaching.stopping import counts_of, stopping
from coach.coaching.told import Known, Part
from coach.coaching.week_rows import weeks
from coach.ground.groups import BY_NAME, COUNTED, NOTHING
from coach.ground.people import Caller
from coach.ground.ports import Context
from coach.store.memory import MemoryStore

if TYPE_CHECKING:
    from coach.coaching.stopping_answers import StepStops

TODAY = date(2027, 4, 7)


@pytest.fixture(scope="module")
def context() -> Context:
    now = datetime(2027, 4, 7, 9, tzinfo=UTC)
    made = Context(MemoryStore(), FolderLibrary(None), lambda: now, TODAY, most_homes=None)
    furnish_group(made, TODAY)
    return made


def test_its_homes_are_in_the_group_of_its_coach(context: Context) -> None:
    with context.store.coaching_reading() as reading:
        assert [group.id for group in reading.groups(COACH)] == [GROUP]
    with context.store.counting() as counting:
        levels = Counter(one.seen_on(TODAY) for one in counting.enrolments(GROUP))
    assert sum(levels.values()) == 120
    assert set(levels) == {NOTHING, COUNTED, BY_NAME}


def test_their_days_are_saved_through_yesterday(context: Context) -> None:
    with context.store.counting() as counting:
        seen = counting.seen(GROUP, TODAY)
        assert seen
        assert {one.followed.through for one in seen if one.followed} == {date(2027, 4, 6)}
        assert None not in {one.followed for one in seen}
        endings = {one.ending for one in counting.ended(GROUP, TODAY)}
    assert {"open", "settled", "lapsed", "set aside", "left"} <= endings


def test_questions_wait_some_alike_and_one_is_answered_for_all(context: Context) -> None:
    with context.store.coaching_reading() as reading:
        questions, answers = reading.questions(GROUP), reading.answers(GROUP)
    assert Counter(bool(one.answer) for one in questions) == {False: 5, True: 1}
    assert [one.for_all for one in answers] == [True]
    assert {one.household for one in questions} <= {household_of(number) for number in range(120)}


def test_what_may_be_told_of_them_is_worth_looking_at(context: Context) -> None:
    caller = Caller("", person=COACH, coaches=True)
    steps = stopping(context, caller, GROUP).steps
    assert all(step.entered for step in steps)
    assert sum(bool(step.settled) for step in steps) >= 10
    assert all(any(told) for told in zip(*(_stopped(step) for step in steps), strict=True))
    assert sum(len(step.incidence) >= 5 for step in steps) >= 6
    rows = weeks(context, caller, GROUP).rows
    assert len(rows) == 3
    assert all(sum(bool(week.ramping) for week in row.weeks) >= 4 for row in rows)


def test_where_it_is_hidden_how_many_have_settled_no_median_is_told(context: Context) -> None:
    steps = stopping(context, Caller("", person=COACH, coaches=True), GROUP).steps
    hidden = [step for step in steps if step.settled is None]
    assert hidden
    assert {(step.median, step.median_low, step.median_high) for step in hidden} == {(None, None, None)}
    assert any(step.median for step in steps)


def test_those_of_whom_no_ending_is_told_are_at_it_as_long_as_anybody() -> None:
    """Three by name who settled on the third day are not all of them, beside eighty-seven hidden ones."""
    named = (Count(3, "settled", 13), Count(20, "open", 5))
    nothing = Told(TODAY, {"left": ()}, 87)
    parts = [Known(Part("d", "bed"), named, Telling(nothing, is_new=False, anew=False))]
    assert Count(20, "open", 87) in counts_of(parts)
    assert incidence(counts_of(parts)).at_risk == (105,)
    assert median(counts_of(parts)).day is None


def _stopped(step: StepStops) -> tuple[int | None, ...]:
    return step.set_aside, step.lapsed, step.left, step.open
