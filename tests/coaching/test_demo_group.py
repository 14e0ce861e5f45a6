"""The group that is shown can be entered into an empty store, and shows a coach what there is to see."""

from __future__ import annotations

from collections import Counter
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING

import pytest

from coach.coaching.demo_group import COACH, GROUP, furnish_group, household_of
from coach.coaching.library import FolderLibrary
from coach.coaching.stopping import stopping
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


def _stopped(step: StepStops) -> tuple[int | None, ...]:
    return step.set_aside, step.lapsed, step.left, step.open
