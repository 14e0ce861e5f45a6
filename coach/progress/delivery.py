"""The delivery of a course's lessons: on which day each comes when everything is kept."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from coach.progress.journal import Version, journal
from coach.progress.log import Row, What
from coach.progress.opening import open_day
from coach.progress.ramp import A_MONDAY, MOST_LOOKED_AT, everything_kept
from coach.progress.replay import begin

if TYPE_CHECKING:
    from collections.abc import Iterator

    from coach.course.model import Course
    from coach.progress.opening import Opening
    from coach.progress.turns import StepLesson

LAST_DAY = 90
"""The day by which every lesson of a course should have come."""


@dataclass(frozen=True, slots=True)
class Delivery:
    """When the lessons of a course come; days count from 1 on the start date.

    Attributes:
        days: For each lesson that came by day 90, its day, in the order of the days.
        late: The lessons that did not.
    """

    days: dict[StepLesson, int]
    late: tuple[StepLesson, ...]


def delivery(course: Course) -> Delivery | None:
    """When each lesson comes, at the standard pace, from the first root and on a Monday.

    Of too large a course that cannot be said in a bearable time, and None is given.
    """
    if len(course.steps) * LAST_DAY > MOST_LOOKED_AT:
        return None
    lessons = [(step.id, number + 1) for step in course.steps for number in range(len(step.lessons))]
    days: dict[StepLesson, int] = {}
    for number, opening in enumerate(_openings(course), 1):
        if opening.lesson is not None:
            days[opening.lesson] = number
        if number == LAST_DAY or len(days) == len(lessons):
            break
    return Delivery(days, tuple(lesson for lesson in lessons if lesson not in days))


def _openings(course: Course) -> Iterator[Opening]:
    """The openings of the first day and all that follow it."""
    book = journal([Version(date.min, course)], [Row(A_MONDAY, What.START, "", "standard")])
    state = begin(book)
    first = open_day(state, book, A_MONDAY)
    yield first
    yield from everything_kept(state, book, first)
