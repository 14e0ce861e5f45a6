"""The versions of a household's course: as its files are, as they were, and what stands in for them."""

from __future__ import annotations

from dataclasses import dataclass
from hashlib import sha256
from typing import TYPE_CHECKING

from coach.course.jsonform import course_from_json, course_json
from coach.errors import Malformed, StoreError, Unknown
from coach.ground.findings import course_gone, course_unknown, version_unreadable
from coach.ground.ports import CourseVersion
from coach.progress.journal import Version
from coach.progress.state_form import FORMAT

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    from coach.course.model import Course
    from coach.ground.findings import Finding
    from coach.ground.ports import Context, Household, Reading, Writing


@dataclass(frozen=True, slots=True)
class Timeline:
    """The versions of a course, read.

    Attributes:
        versions: Oldest first.
        digests: Names the versions up to each of them, as saved standings are named.
        findings: What stands in for what.
    """

    versions: tuple[Version, ...]
    digests: tuple[str, ...]
    findings: tuple[Finding, ...]


def present(context: Context, home: Household) -> Course | None:
    """The course as its files are now; None where the lessons have no course of that name."""
    try:
        return context.library.course(home.course)
    except Unknown:
        return None


def versions_of(context: Context, home: Household, reading: Reading, today: date) -> list[CourseVersion]:
    """The versions of the course, with the files' present one from today on if that is new.

    Where its files are gone, those that are stored go on.
    """
    held, course = _in_force(reading.courses(), today), present(context, home)
    if course is None and not held:
        course = _last_resort(context, home)
    if course is None or (held and held[-1].digest == course.digest):
        return held
    return [*held, CourseVersion(today, course.digest)]


def _in_force(stored: Sequence[CourseVersion], today: date) -> list[CourseVersion]:
    """The versions up to a date; what was noticed later, by a clock that was ahead, does not hold yet."""
    return [version for version in stored if version.since <= today] or list(stored[:1])


def usual(context: Context) -> Course | None:
    """The course that new households follow."""
    try:
        return context.library.course(context.course)
    except Unknown:
        return None


def _last_resort(context: Context, home: Household) -> Course:
    """The course that new households follow, where nothing is left of the household's own."""
    course = usual(context)
    if course is None:
        raise StoreError(
            f"Nothing is left of the course “{home.course}” here. Start Steading with its --lessons."
        )
    return course


def noticed(context: Context, writing: Writing, version: CourseVersion) -> None:
    """Write down the version of the course's present files, so that days closed so far keep what they were.

    Nothing is written if it is known already, or if its household or its files are others by now, or gone.
    """
    home, stored = writing.household(), writing.courses()
    held = _in_force(stored, version.since)
    if home is None or (held and held[-1].digest == version.digest):
        return
    course = present(context, home)
    if course is not None and course.digest == version.digest:
        writing.add_course(version, course_json(course))


def timeline(
    context: Context, home: Household, reading: Reading, versions: Sequence[CourseVersion]
) -> Timeline:
    """The versions read; for one that cannot be read the nearest other one stands in."""
    read = [_read(context, home, reading, one) for one in versions]
    held, found = [], list(course_findings(context, home, reading, versions))
    for place, one in enumerate(versions):
        course = read[place]
        if course is None:
            nearest = _nearest(read, place)
            course = None if nearest is None else read[nearest]
            found.append(version_unreadable(one.since, None if nearest is None else versions[nearest].since))
        held.append(Version(one.since, course or present(context, home) or _last_resort(context, home)))
    return Timeline(tuple(held), _digests(held), tuple(found))


def course_findings(
    context: Context, home: Household, reading: Reading, versions: Sequence[CourseVersion]
) -> tuple[Finding, ...]:
    """What stands in for the course if its files are gone."""
    if present(context, home) is not None:
        return ()
    if not reading.courses():
        return (course_unknown(home.course, context.course),)
    return (course_gone(home.course, versions[-1].since),)


def _nearest(read: Sequence[Course | None], place: int) -> int | None:
    """The place of the version nearest to one, the one before it first."""
    others = (other for other, course in enumerate(read) if course is not None)
    return min(others, key=lambda other: (abs(other - place), other), default=None)


def _read(context: Context, home: Household, reading: Reading, version: CourseVersion) -> Course | None:
    """The course of a version; None if it cannot be read."""
    for course in (present(context, home), usual(context)):
        if course is not None and course.digest == version.digest:
            return course
    try:
        read: Course = context.memo.get(
            ("course", version.digest),
            version.digest,
            lambda: readable(version, reading.course_content(version.digest)),
        )
    except Malformed:
        return None
    return read


def readable(version: CourseVersion, content: str) -> Course:
    """The course of a stored version.

    Raises:
        Malformed: It cannot be read, or is another one.
    """
    course = course_from_json(content)
    is_whole = bool(course.roots and course.paces)
    if course.digest != version.digest or not is_whole or _repeats(course):
        raise Malformed("This is not the course of that version.")
    return course


def _repeats(course: Course) -> bool:
    return len({step.id for step in course.steps}) < len(course.steps)


def _digests(versions: Sequence[Version]) -> tuple[str, ...]:
    """What was folded with a version that stands in has another name, and is not taken for the real one."""
    return tuple(_digest(versions[: count + 1]) for count in range(len(versions)))


def _digest(versions: Sequence[Version]) -> str:
    lines = f"{FORMAT}\n" + "\n".join(f"{version.since} {version.course.digest}" for version in versions)
    return sha256(lines.encode()).hexdigest()
