"""Every lesson of the shipped course has its day (rules §6, second line)."""

from __future__ import annotations

import random
from dataclasses import replace
from datetime import date, timedelta
from typing import TYPE_CHECKING

import pytest

from coach.coaching.lessons_folder import shipped_lessons
from coach.course.reader import load_course
from coach.progress.closing import close_day
from coach.progress.days import following
from coach.progress.journal import Version, journal
from coach.progress.log import Mark, Row, What
from coach.progress.opening import open_day
from coach.progress.replay import begin

if TYPE_CHECKING:
    from collections.abc import Callable

    from coach.course.model import Course
    from coach.progress.turns import StepLesson

MONDAY = date(2027, 1, 4)
COURSE: Course = load_course(shipped_lessons() / "three-weeks")
LESSONS = {(step.id, number) for step in COURSE.steps for number in range(1, len(step.lessons) + 1)}
LAST_DAY, LAST_DAY_AT_FOUR_FIFTHS = 90, 120
LOGS = 20
KEPT_RATE = 0.8


def arrived(root: str, pace: str, start: date, days: int, mark: Callable[[], Mark]) -> list[StepLesson]:
    """The lessons of steps that so many days had, of a household that marks every line so."""
    book = journal([Version(date.min, COURSE)], [Row(start, What.START, root, pace)])
    state, day, found = begin(book), start, []
    for _ in range(days):
        opening = open_day(state, book, day)
        found += [opening.lesson] if opening.lesson else []
        close_day(state, replace(opening, marks={step: mark() for step in opening.checklist}))
        day = following(day, state.zone)
    return found


@pytest.mark.parametrize("pace", ["standard", "gentle"])
@pytest.mark.parametrize("root", [step.id for step in COURSE.roots])
def test_with_everything_kept_every_lesson_has_been_the_lesson_of_one_day_by_day_90(
    root: str, pace: str
) -> None:
    for weekday in range(7):
        start = MONDAY + timedelta(days=weekday)
        found = arrived(root, pace, start, LAST_DAY, lambda: Mark.KEPT)
        assert set(found) == LESSONS
        assert len(found) == len(LESSONS)


@pytest.mark.parametrize("seed", range(LOGS))
def test_at_a_kept_rate_of_four_fifths_every_lesson_has_come_by_day_120(seed: int) -> None:
    chance = random.Random(seed)  # noqa: S311  a log is no secret
    found = arrived(
        "",
        "standard",
        MONDAY,
        LAST_DAY_AT_FOUR_FIFTHS,
        lambda: Mark.KEPT if chance.random() < KEPT_RATE else Mark.MISSED,
    )
    assert set(found) == LESSONS
    assert len(found) == len(LESSONS)


def test_each_steps_lessons_come_in_their_order() -> None:
    found = arrived("", "standard", MONDAY, LAST_DAY, lambda: Mark.KEPT)
    for step in COURSE.steps:
        numbers = [number for name, number in found if name == step.id]
        assert numbers == sorted(numbers)
