"""A course's lessons in the order in which a household would get them, at a rate that it keeps."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from coach.errors import Malformed
from coach.progress.delivery import SEED, Rate, delivery

if TYPE_CHECKING:
    from coach.course.model import Course

RATES = (1.0, 0.8, 0.6)
"""The shares of lines kept that can be tried."""

DAYS = 180
"""How many days are looked at: a lesson that has not come by then is said never to come."""


@dataclass(frozen=True, slots=True)
class PreviewLesson:
    """One lesson as a household would get it.

    Attributes:
        day: The day it comes on, counted from 1; None: it never does.
        step: The step's id.
        step_title: The step's title.
        number: The lesson's number among the step's, from 1.
        of: How many the step has.
        title: The lesson's title.
        markdown: Its text.
    """

    day: int | None
    step: str
    step_title: str
    number: int
    of: int
    title: str
    markdown: str


@dataclass(frozen=True, slots=True)
class Preview:
    """All lessons of a course at a rate.

    Attributes:
        kept: The share of lines kept; the others are marked missed.
        seed: Says which, so that a preview is the same each time.
        days: How many days were looked at.
        came: The lessons that came, in the order of their days.
        never: Those that did not, in course order.
    """

    title: str
    kept: float
    seed: int
    days: int
    came: tuple[PreviewLesson, ...]
    never: tuple[PreviewLesson, ...]


def rate_of(text: str) -> float:
    """A rate as a person writes it.

    Raises:
        Malformed: It is none of those that can be tried.
    """
    found = next((rate for rate in RATES if text.strip() in {str(rate), f"{rate:g}"}), None)
    if found is None:
        raise Malformed(f"“{text[:20]}” cannot be tried. Choose one of: {', '.join(map(str, RATES))}.")
    return found


def preview(course: Course, kept: float = 1.0) -> Preview:
    """Every lesson of a course, at the standard pace, from the first root and on a Monday.

    Raises:
        Malformed: The course is too large to be followed so far in a bearable time.
    """
    found = delivery(course, Rate(kept, SEED, DAYS))
    if found is None:
        raise Malformed(f"This course is too large to be followed for {DAYS} days.")
    steps = {step.id: step for step in course.steps}

    def seen(step_id: str, number: int, day: int | None) -> PreviewLesson:
        step = steps[step_id]
        lesson = step.lessons[number - 1]
        return PreviewLesson(
            day, step_id, step.title, number, len(step.lessons), lesson.title, lesson.markdown
        )

    return Preview(
        course.title,
        kept,
        SEED,
        DAYS,
        tuple(seen(*lesson, day) for lesson, day in found.days.items()),
        tuple(seen(*lesson, None) for lesson in found.late),
    )
