"""Bringing a course: the packed file, checked whole and kept, so that a group or a house can follow it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from coach.coaching.packed_courses import CourseFiles, kept_course, packed_course
from coach.errors import Unknown
from coach.ground.course_names import brought_course

if TYPE_CHECKING:
    from coach.ground.ports import Context


@dataclass(frozen=True, slots=True)
class Brought:
    """A course that was brought.

    Attributes:
        name: Under what a house can choose it.
        title: Its title.
        digest: Its version.
        steps: How many steps it has.
        is_new: Whether this version was not here before.
    """

    name: str
    title: str
    digest: str
    steps: int
    is_new: bool


def coach_called(context: Context, name: str) -> str:
    """The person who coaches under a name.

    Raises:
        Unknown: Nobody who may coach is called so, or several are.
    """
    with context.store.people_reading() as reading:
        coaches = [one for one in reading.everybody() if one.is_coach]
    found = [one.person for one in coaches if one.name.casefold() == name.strip().casefold()]
    if len(found) == 1:
        return found[0]
    if found:
        raise Unknown(f"Several coaches are called “{name}”. Let all but one take another name first.")
    there = ", ".join(one.name for one in coaches) or "nobody yet; coach invite --coach NAME lets one in"
    raise Unknown(f"There is no coach “{name}”. There are: {there}.")


def bring(context: Context, content: bytes, file: str, coach: str = "") -> Brought:
    """Keep the course of a packed file for a coach, or for the house.

    Raises:
        FaultyFile: It cannot be read, or the course has faults; the first are named and nothing is kept.
    """
    return keep(context, packed_course(content, file), coach)


def keep(context: Context, files: CourseFiles, coach: str) -> Brought:
    """Keep a version of a course for a coach, or for the house; one that is there stays as it is."""
    with context.store.coaching_writing() as writing:
        known = {one.digest for one in writing.kept_courses(coach)}
        writing.add_course(kept_course(files, coach, context.clock()))
    name, is_new = brought_course(files.id), files.digest not in known
    return Brought(name, files.course.title, files.digest, len(files.course.steps), is_new)
