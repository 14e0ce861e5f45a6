"""A course's booklet: its steps with their lessons, in the order in which they come with everything kept."""

from __future__ import annotations

from math import inf
from typing import TYPE_CHECKING

from coach.course.recurrence import in_words
from coach.errors import Unknown
from coach.ground.cautions import caution_view
from coach.ground.course_names import brought_named, group_named
from coach.ground.prose import render
from coach.habits.answers import LessonView
from coach.paper.answers import Booklet, BookletStep
from coach.progress.delivery import delivery

if TYPE_CHECKING:
    from collections.abc import Mapping

    from coach.course.model import Step
    from coach.ground.ports import Context, Household, Library
    from coach.paper.answers import PaperName


def booklet(context: Context, course: str, paper: PaperName = "a4") -> Booklet:
    """The booklet of a course, worked out once for as long as no lesson changes.

    Args:
        context: Store, lessons and clock.
        course: The course's name.
        paper: What it is printed on.

    Raises:
        Unknown: There is no course of that name.
    """
    library = context.library.of(course, context.pretend or context.clock().date())
    return context.memo.get(
        ("booklet", course, paper), library.digest(), lambda: _booklet(library, course, paper)
    )


def refuse_others_course(course: str, home: Household | None) -> None:
    """Refuse a course that was brought here for others, by the household's own row.

    Raises:
        Unknown: It is another group's, or one that somebody else brought.
    """
    shipped = group_named(course) is None and brought_named(course) is None
    if not shipped and (home is None or home.course != course):
        raise Unknown(f"There is no course “{course}” here.")


def _booklet(library: Library, name: str, paper: PaperName) -> Booklet:
    course = library.course(name)
    found = delivery(course)
    days = _first_days(found.days) if found else {}
    steps = sorted(course.steps, key=lambda step: days.get(step.id, inf))
    return Booklet(
        course=name,
        title=course.title,
        steps=tuple(_step(library, step, days.get(step.id)) for step in steps),
        paper=paper,
        summary=course.summary,
        ramp_days=course.ramp_days,
    )


def _first_days(days: Mapping[tuple[str, int], int]) -> dict[str, int]:
    """By step the day on which the first of its lessons comes."""
    first: dict[str, int] = {}
    for (step, _), day in days.items():
        first[step] = min(day, first.get(step, day))
    return first


def _step(library: Library, step: Step, day: int | None) -> BookletStep:
    return BookletStep(
        step=step.id,
        title=step.title,
        small=step.small,
        cue=step.cue,
        minutes=step.minutes,
        repeats_text=in_words(step.repeats),
        caution=caution_view(library, step.caution),
        lessons=tuple(
            LessonView(step.id, number, lesson.title, lesson.markdown, render(lesson.markdown))
            for number, lesson in enumerate(step.lessons, 1)
        ),
        slot=step.slot.value,
        why=step.why,
        day=day,
    )
