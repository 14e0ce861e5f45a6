"""Groups: the households that began together under one coach, and whose they are."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from datetime import timedelta
from typing import TYPE_CHECKING

from coach.coaching.answers import CourseChoice, GroupLine, Groups
from coach.coaching.texts import new_id
from coach.errors import Malformed, Unknown
from coach.ground.groups import Group
from coach.household.names import tidy_name
from coach.household.passkeys import has_passkey

if TYPE_CHECKING:
    from datetime import date

    from coach.ground.coaching import CoachingReading
    from coach.ground.people import Caller
    from coach.ground.ports import Context

NO_GROUP = "There is no such group, or it is not yours."
NO_NAME = "Write what the group is called."

MOST_GROUPS = 200
"""Groups of one coach."""

ENGLISH = "en-GB"
"""The language of a group that says no other: that of the shipped lessons."""

AHEAD = timedelta(days=731)
"""So far ahead a group's first possible day may lie."""

LANGUAGE = re.compile(r"[A-Za-z]{2,3}(-[A-Za-z0-9]{2,8}){0,3}")
"""What a language is called, as BCP 47 writes it: a subtag for it, and a few for script and region."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """A group that is to be made.

    Attributes:
        name: What it is to be called.
        course: The course it is to follow: a shipped one, or one of the coach's own.
        first_day: The first day on which a household may start.
        language: The language of its lessons.
    """

    name: str
    course: str
    first_day: date
    language: str = ENGLISH


def group_of(reading: CoachingReading, caller: Caller, group: str) -> Group:
    """A group for the coach whose it is; nobody else is told that it exists.

    Args:
        reading: The open transaction.
        caller: Who asks.
        group: The group's id.

    Raises:
        Unknown: There is no such group, it is somebody else's, or who asks is not let in as a coach.
    """
    found = reading.group(group) if caller.coaches else None
    if found is None or found.coach != caller.person:
        raise Unknown(NO_GROUP)
    return found


def refuse_others(reading: CoachingReading, caller: Caller) -> None:
    """Refuse whoever is no coach, or was not let in as one.

    Raises:
        Unknown: It is somebody else, who is not told that anything is here.
    """
    if not caller.coaches or not reading.is_coach(caller.person):
        raise Unknown(NO_GROUP)


def is_open(context: Context, caller: Caller) -> bool:
    """Whether a coach's groups let households in: once the coach can sign in by a passkey."""
    with context.store.people_reading() as reading:
        return has_passkey(reading, caller.person)


def coach_day(context: Context) -> date:
    """The date by which a coach is told of days: that of UTC, or the day that is tried instead."""
    return context.pretend or context.clock().date()


def groups(context: Context, caller: Caller) -> Groups:
    """A coach's groups, in the order in which they were made.

    Raises:
        Unknown: Who asks is no coach.
    """
    with context.store.coaching_reading() as reading:
        refuse_others(reading, caller)
        titles = {one.course: one.title for one in choices_in(context, reading, caller)}
        return Groups(tuple(line_of(one, titles) for one in reading.groups(caller.person)))


def one_group(context: Context, caller: Caller, group: str) -> GroupLine:
    """One of them.

    Raises:
        Unknown: There is no such group, or it is somebody else's.
    """
    with context.store.coaching_reading() as reading:
        found = group_of(reading, caller, group)
        titles = {one.course: one.title for one in choices_in(context, reading, caller)}
        return line_of(found, titles)


def choices(context: Context, caller: Caller) -> tuple[CourseChoice, ...]:
    """The courses that a new group can follow: the shipped one, then the coach's own by title.

    Raises:
        Unknown: Who asks is no coach.
    """
    with context.store.coaching_reading() as reading:
        refuse_others(reading, caller)
        return choices_in(context, reading, caller)


def choices_in(context: Context, reading: CoachingReading, caller: Caller) -> tuple[CourseChoice, ...]:
    """The same inside a transaction; of the coach's own the title is that of the newest version."""
    shipped = CourseChoice(context.course, context.library.course(context.course).title, own=False)
    own: dict[str, CourseChoice] = {}
    for version in reading.kept_courses(caller.person):
        own.setdefault(version.course, CourseChoice(version.course, version.title, own=True))
    return (shipped, *sorted(own.values(), key=lambda one: (one.title.casefold(), one.course)))


def line_of(group: Group, titles: dict[str, str]) -> GroupLine:
    """A group as it is listed; a course that is gone has its name for a title."""
    title = titles.get(group.course, group.course)
    return GroupLine(group.id, group.name, group.course, title, group.first_day, group.language)


def new_group(context: Context, caller: Caller, wanted: Wanted) -> GroupLine:
    """Make a group; asked for once more by the same request it is the same.

    Raises:
        Unknown: Who asks is no coach.
        Malformed: It has no name or too long a one, there is no such course, or the language is none.
    """
    name = _named(wanted.name)
    if not LANGUAGE.fullmatch(wanted.language):
        raise Malformed(
            f"“{wanted.language[:40]}” names no language. Write it as in en-GB: language, then region."
        )
    if wanted.first_day > coach_day(context) + AHEAD:
        raise Malformed("The first possible day lies more than two years ahead. Choose an earlier one.")
    made = Group(
        new_id(context, caller.person), caller.person, name, wanted.course, wanted.first_day, wanted.language,
        context.clock(),
    )  # fmt: skip
    with context.store.coaching_writing() as writing:
        refuse_others(writing, caller)
        titles = {one.course: one.title for one in choices_in(context, writing, caller)}
        if made.course not in titles:
            raise Malformed(
                f"There is no course “{made.course[:80]}”. There are: {', '.join(sorted(titles))}."
            )
        known = writing.groups(caller.person)
        again = next((one for one in known if one.id == made.id), None)
        if again is not None:
            return line_of(again, titles)
        if len(known) >= MOST_GROUPS:
            raise Malformed(f"A coach has at most {MOST_GROUPS} groups.")
        writing.put_group(made)
        return line_of(made, titles)


def rename(context: Context, caller: Caller, group: str, name: str) -> GroupLine:
    """Call a group something else.

    Raises:
        Unknown: There is no such group, or it is somebody else's.
        Malformed: The name says nothing, or is too long.
    """
    told = _named(name)
    with context.store.coaching_writing() as writing:
        found = replace(group_of(writing, caller, group), name=told)
        writing.put_group(found)
        return line_of(found, {one.course: one.title for one in choices_in(context, writing, caller)})


def _named(text: str) -> str:
    name = tidy_name(text, "A group\u2019s name")
    if not name:
        raise Malformed(NO_NAME)
    return name
