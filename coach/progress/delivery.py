"""The delivery of a course's lessons: on which day each comes when everything is kept, or so much of it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from random import Random
from typing import TYPE_CHECKING

from coach.progress.closing import close_day
from coach.progress.days import following
from coach.progress.journal import Version, journal
from coach.progress.log import Mark, Row, What
from coach.progress.opening import open_day
from coach.progress.ramp import A_MONDAY, MOST_LOOKED_AT
from coach.progress.replay import begin

if TYPE_CHECKING:
    from collections.abc import Iterator

    from coach.course.model import Course
    from coach.progress.opening import Opening
    from coach.progress.turns import StepLesson

LAST_DAY = 90
"""The day by which every lesson of a course should have come."""

SEED = 1
"""Which lines are missed at a rate below 1 follows from this number, so that it is the same each time."""


@dataclass(frozen=True, slots=True)
class Rate:
    """How a household lives with a course that is tried out.

    Attributes:
        kept: The share of its lines that are kept, from 0 to 1; the others are marked missed.
        seed: Says which.
        last: The last day that is looked at.
    """

    kept: float = 1.0
    seed: int = SEED
    last: int = LAST_DAY


ALL_KEPT = Rate()


@dataclass(frozen=True, slots=True)
class Delivery:
    """When the lessons of a course come; days count from 1 on the start date.

    Attributes:
        days: For each lesson that came by the last day looked at, its day, in the order of the days.
        late: The lessons that did not.
    """

    days: dict[StepLesson, int]
    late: tuple[StepLesson, ...]


def delivery(course: Course, rate: Rate = ALL_KEPT) -> Delivery | None:
    """When each lesson comes, at the standard pace, from the first root and on a Monday.

    Of too large a course that cannot be said in a bearable time, and None is given.
    """
    if len(course.steps) * rate.last > MOST_LOOKED_AT:
        return None
    lessons = [(step.id, number + 1) for step in course.steps for number in range(len(step.lessons))]
    days: dict[StepLesson, int] = {}
    for number, opening in enumerate(_openings(course, rate), 1):
        if opening.lesson is not None:
            days[opening.lesson] = number
        if number == rate.last or len(days) == len(lessons):
            break
    return Delivery(days, tuple(lesson for lesson in lessons if lesson not in days))


def _openings(course: Course, rate: Rate) -> Iterator[Opening]:
    """The openings of the first day and all that follow it."""
    book = journal([Version(date.min, course)], [Row(A_MONDAY, What.START, "", "standard")])
    state, day, random = begin(book), A_MONDAY, Random(rate.seed)  # noqa: S311  a trial, not a secret
    while True:
        opening = open_day(state, book, day)
        yield opening
        marks = {step: _mark(random, rate) for step in opening.checklist}
        close_day(state, replace(opening, marks=marks))
        day = following(day, state.zone)


def _mark(random: Random, rate: Rate) -> Mark:
    return Mark.KEPT if random.random() < rate.kept else Mark.MISSED
