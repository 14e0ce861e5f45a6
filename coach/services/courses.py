"""A coach's work on a course folder: every fault at once, what is doubtful, and the graph as a table."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from coach.course.check import warnings
from coach.course.reader import COURSE_FILE, read_course
from coach.course.recurrence import in_words
from coach.errors import Fault
from coach.progress.ramp import ramp, ramp_fault
from coach.services.library import known_cautions
from coach.services.starter_lists import check_starter_lists

if TYPE_CHECKING:
    from pathlib import Path

    from coach.course.model import Course, Step


@dataclass(frozen=True, slots=True)
class Checked:
    """What a check of a course folder found.

    Attributes:
        course: The course, if it has no faults.
        faults: Why it is refused; empty if it is not.
        doubts: What its coach should look at again.
    """

    course: Course | None
    faults: tuple[Fault, ...]
    doubts: tuple[Fault, ...]


def check(folder: Path) -> Checked:
    """Check a course folder: its files, its graph and its ramp, and the starter lists that go with it."""
    reading, cautions = read_course(folder), known_cautions(folder)
    faults, doubts = check_starter_lists(folder, cautions)
    if reading.course is None or faults:
        return Checked(None, (*reading.faults, *faults), ())
    reason = ramp_fault(reading.course)
    if reason:
        return Checked(None, (Fault(COURSE_FILE, None, reason),), ())
    return Checked(reading.course, (), (*warnings(reading.course, cautions, reading.drafts), *doubts))


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
    reached = ramp(course, "", "standard", course.ramp_days)
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
