"""What the steps of a group's course are called; whatever is no step of it has no name here."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from coach.course.jsonform import course_from_json
from coach.errors import Unknown

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from coach.course.model import Course
    from coach.ground.coaching import CoachingReading
    from coach.ground.groups import Group
    from coach.ground.ports import Context


def step_titles(context: Context, reading: CoachingReading, group: Group) -> Mapping[str, str]:
    """The titles of the steps of a group's course by id, in the order of its newest version.

    Steps of earlier versions that are in none later come last. A household's own steps are in no course, so
    nothing that is looked up here tells of one.
    """
    found: dict[str, str] = {}
    for course in courses_of(context, reading, group):
        for step in course.steps:
            found.setdefault(step.id, step.title)
    return found


def courses_of(context: Context, reading: CoachingReading, group: Group) -> Iterator[Course]:
    """The versions of a group's course, the newest first."""
    kept = [one for one in reading.kept_courses(group.coach) if one.course == group.course]
    for version in kept:
        read = partial(course_from_json, version.content)
        yield context.memo.get(("kept course", version.digest), version.digest, read)
    if not kept:
        try:
            yield context.library.course(group.course)
        except Unknown:
            # The files are gone; what is saved of the households has ids, and those stand for the titles.
            return


def catalogue_titles(context: Context) -> Mapping[str, str]:
    """The titles of the optional steps that every household can add."""
    return {step: found.title for step, found in context.library.catalogue().items()}
