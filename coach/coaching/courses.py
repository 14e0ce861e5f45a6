"""A course as tables: its steps with the days they come and settle on, and its lessons day by day."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from coach.course.recurrence import in_words
from coach.progress.delivery import delivery
from coach.progress.ramp import Looks, ramp

if TYPE_CHECKING:
    from coach.course.model import Course, Step


@dataclass(frozen=True, slots=True)
class CourseLine:
    """One step of a course as a line of a table.

    Attributes:
        comes: The day it comes on when everything is kept at the standard pace from the first root.
        settles: The day it settles on, for a waiting step.
    """

    step: str
    title: str
    slot: str
    minutes: int
    repeats: str
    after: str
    rule: str
    comes: int | None
    settles: int | None


@dataclass(frozen=True, slots=True)
class LessonLine:
    """One lesson as a line of the calendar.

    Attributes:
        day: The day it comes on when everything is kept; None if that is later than day 90.
    """

    day: int | None
    step: str
    number: int
    title: str


def calendar(course: Course) -> tuple[LessonLine, ...]:
    """The course's lessons by the day they come on, those that come later than day 90 last.

    Of a course too large to be followed through there are none.
    """
    found = delivery(course)
    if found is None:
        return ()
    titles = {
        (step.id, number): lesson.title
        for step in course.steps
        for number, lesson in enumerate(step.lessons, 1)
    }
    lessons = (*found.days, *found.late)
    return tuple(LessonLine(found.days.get(lesson), *lesson, titles[lesson]) for lesson in lessons)


def table(course: Course) -> tuple[CourseLine, ...]:
    """The course's steps in order, with the days they come and settle on when everything is kept."""
    reached = ramp(course, "", "standard", course.ramp_days, enough=Looks().are_enough)
    return tuple(
        CourseLine(
            step=step.id,
            title=step.title,
            slot=step.slot.value,
            minutes=step.minutes,
            repeats=in_words(step.repeats),
            after=_after(step),
            rule=f"{step.settles.kept} of {step.settles.of}" if step.waits else "does not wait",
            comes=reached.introduced.get(step.id),
            settles=reached.settled.get(step.id) if step.waits else None,
        )
        for step in course.steps
    )


def _after(step: Step) -> str:
    parts = [" and ".join(step.after)] if step.after else []
    parts += [" or ".join(step.after_any)] if step.after_any else []
    return ", and ".join(parts) or "a root"
