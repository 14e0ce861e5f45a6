"""A course as a table: its steps in order, with the days they come and settle on."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from coach.course.recurrence import in_words
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
