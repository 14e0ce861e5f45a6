"""A group's course: bringing a version, changing its words, and from when which version holds."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import TYPE_CHECKING

from coach.coaching.bringing import keep
from coach.coaching.course_answers import GroupCourse, KeptCourses, StepText, StepWords, VersionLine
from coach.coaching.groups import coach_day, group_of, refuse_others
from coach.coaching.kept_library import made_with
from coach.coaching.packed_courses import (
    CourseFiles,
    checked_files,
    folder_course,
    kept_course,
    packed_course,
)
from coach.coaching.preview import preview
from coach.coaching.reworded import body_of, reworded
from coach.course.file_names import id_of, is_lesson_name
from coach.errors import Malformed, NotEditable, Unknown
from coach.ground.course_names import group_course
from coach.ground.groups import HeldVersion
from coach.ground.wording import full_date

if TYPE_CHECKING:
    from collections.abc import Container, Iterator, Sequence
    from datetime import date

    from coach.coaching.bringing import Brought
    from coach.coaching.course_answers import VersionState
    from coach.coaching.preview import Preview
    from coach.ground.coaching import CoachingReading, CoachingWriting
    from coach.ground.groups import Group, KeptCourse
    from coach.ground.people import Caller
    from coach.ground.ports import Context

ONE_DAY = timedelta(days=1)
MOST_VERSIONS = 500
"""Versions of courses that are kept for one coach."""

NO_VERSION = "There is no such version of a course here."
NO_STEP = "There is no such step in this version of the course."


def course(context: Context, caller: Caller, group: str) -> GroupCourse:
    """The course of a group: the newest version that is kept, and which versions held, hold and will.

    Raises:
        Unknown: There is no such group, or it is somebody else's.
    """
    today = coach_day(context)
    with context.store.coaching_reading() as reading:
        found = group_of(reading, caller, group)
        kept, held = reading.kept_courses(caller.person), reading.held_versions(group)
        holds = files_held(context, reading, found, today)
    lines = (
        *_by_date(held, kept, holds, today),
        *_kept_alone({*(one.digest for one in held), holds.digest}, kept),
    )
    newest = next((one.digest for one in kept if one.course == holds.id), holds.digest)
    shown = holds if newest == holds.digest else files_of(context, caller, newest)
    steps = tuple(StepWords(step.id, step.title, len(step.lessons)) for step in shown.course.steps)
    return GroupCourse(
        group=group,
        course=shown.id,
        title=shown.course.title,
        licence=shown.course.licence,
        digest=shown.digest,
        holds=holds.digest,
        steps=steps,
        versions=lines,
        today=today,
    )


def _by_date(
    held: Sequence[HeldVersion], kept: Sequence[KeptCourse], holds: CourseFiles, today: date
) -> Iterator[VersionLine]:
    """The versions that held, hold or will, the latest first; where none was chosen, what holds anyway."""
    by_digest = {one.digest: one for one in kept}
    in_force = next((one for one in reversed(held) if one.since <= today), held[0] if held else None)
    for one in reversed(held):
        version = by_digest.get(one.digest)
        if version is None:
            continue
        state: VersionState = "holds" if one is in_force else "to come" if one.since > today else "held"
        yield VersionLine(
            one.digest, version.course, version.title, state, one.since, version.added_at.date()
        )
    if not held:
        yield VersionLine(holds.digest, holds.id, holds.course.title, "holds", None, None)


def _kept_alone(dated: Container[str], kept: Sequence[KeptCourse]) -> Iterator[VersionLine]:
    """The versions that have never held in this group and are not to, the newest first."""
    for one in kept:
        if one.digest not in dated:
            yield VersionLine(one.digest, one.course, one.title, "kept", None, one.added_at.date())


def kept(context: Context, caller: Caller) -> KeptCourses:
    """Every version of the courses that somebody brought, the newest first.

    Raises:
        Unknown: Who asks is no coach.
    """
    with context.store.coaching_reading() as reading:
        refuse_others(reading, caller)
        return KeptCourses(tuple(_kept_alone((), reading.kept_courses(caller.person))))


def bring(context: Context, caller: Caller, content: bytes, file: str) -> Brought:
    """Keep the course of a packed file for a coach.

    Raises:
        Unknown: Who asks is no coach.
        FaultyFile: It cannot be read, or the course has faults; the first are named.
    """
    with context.store.coaching_reading() as reading:
        refuse_others(reading, caller)
    return _kept(context, caller, packed_course(content, file))


def files_held(context: Context, reading: CoachingReading, group: Group, day: date) -> CourseFiles:
    """The files of what holds in a group on a date.

    Raises:
        Unknown: They are not here any more.
    """
    digest = _version_on(context, reading, group, day)
    if digest is None:
        return folder_course(context.library.folder_of(group.course))
    return _read(context, reading, digest, group.coach)


def _version_on(context: Context, reading: CoachingReading, group: Group, day: date) -> str | None:
    """The digest of what holds in a group on a date; None where that is the shipped course."""
    held = reading.held_versions(group.id)
    begun = [one for one in held if one.since <= day] or list(held[:1])
    if begun:
        return begun[-1].digest
    return None if context.library.is_shipped(group.course) else made_with(reading, group)


def _read(context: Context, reading: CoachingReading, digest: str, coach: str) -> CourseFiles:
    """The files of a coach's version, read once: one that is known by its digest never changes.

    The id is none of the files, so another coach may have brought the same ones under another.
    """

    def files() -> CourseFiles:
        kept = reading.kept_course(digest, coach)
        if kept is None:
            raise Unknown(NO_VERSION)
        return packed_course(kept.packed, kept.course)

    return context.memo.get(("course files", digest, coach), digest, files)


def files_of(context: Context, caller: Caller, digest: str) -> CourseFiles:
    """The files of a version that is kept for a coach.

    Raises:
        Unknown: It is not there, or is another coach's.
    """
    with context.store.coaching_reading() as reading:
        if all(one.digest != digest for one in reading.kept_courses(caller.person)):
            raise Unknown(NO_VERSION)
        return _read(context, reading, digest, caller.person)


def version(context: Context, caller: Caller, group: str, digest: str = "") -> CourseFiles:
    """The files of a version that is shown in a group: one that is kept, or what holds today.

    Raises:
        Unknown: The group or the version is not there, or is somebody else's.
    """
    with context.store.coaching_reading() as reading:
        holds = files_held(context, reading, group_of(reading, caller, group), coach_day(context))
    return holds if digest in {"", holds.digest} else files_of(context, caller, digest)


def upload(context: Context, caller: Caller, group: str, content: bytes, file: str) -> Brought:
    """Keep the version of a packed file; it does not hold before its coach has seen what it changes.

    Raises:
        Unknown: There is no such group, or it is somebody else's.
        FaultyFile: The file cannot be read, or the course has faults; the first are named.
    """
    with context.store.coaching_reading() as reading:
        group_of(reading, caller, group)
    return _kept(context, caller, packed_course(content, file))


def _kept(context: Context, caller: Caller, files: CourseFiles) -> Brought:
    with context.store.coaching_reading() as reading:
        if len(reading.kept_courses(caller.person)) >= MOST_VERSIONS:
            raise Malformed(f"{MOST_VERSIONS} versions are kept for one coach, and no more.")
    return keep(context, files, caller.person)


def step_text(context: Context, caller: Caller, group: str, digest: str, step: str) -> StepText:
    """The words of a step, to be changed.

    Raises:
        Unknown: The group, the version or the step is not there, or is somebody else's.
    """
    files = version(context, caller, group, digest)
    file, found = _file_of(files, step), files.course.step(step)
    if found is None:
        raise Unknown(NO_STEP)
    return StepText(files.digest, step, file, found.title, body_of(file, files.files[file]))


def _file_of(files: CourseFiles, step: str) -> str:
    own = (name for name in files.files if "/" not in name and is_lesson_name(name))
    found = next((name for name in own if id_of(name) == step), None)
    if found is None:
        raise Unknown(NO_STEP)
    return found


def reword(context: Context, caller: Caller, group: str, words: StepText) -> Brought:
    """Change the title and the lessons of a step: that is a new version, which is kept and does not hold yet.

    Raises:
        Unknown: The group, the version or the step is not there, or is somebody else's.
        FaultyFile: The course would have faults; the first are named, each with its line.
    """
    files = version(context, caller, group, words.digest)
    file = _file_of(files, words.step)
    content = reworded(file, files.files[file], words.title, words.text)
    return _kept(context, caller, checked_files(files.id, {**files.files, file: content}))


def previewed(context: Context, caller: Caller, group: str, kept: float, digest: str = "") -> Preview:
    """Every lesson of a version in the order of delivery.

    Raises:
        Unknown: The group or the version is not there, or is somebody else's.
        Malformed: The course is too large to be followed.
    """
    return preview(version(context, caller, group, digest).course, kept)


def hold(context: Context, caller: Caller, group: str, chosen: HeldVersion) -> None:
    """Let a version hold from a date on: today, or a later one.

    What holds now goes on to hold until then, also where it is the shipped course, whose files may change.

    Raises:
        Unknown: The group or the version is not there, or is somebody else's.
        Malformed: The date is over.
        NotEditable: The version holds on that date already.
    """
    today = coach_day(context)
    if chosen.since < today:
        raise Malformed(f"{full_date(chosen.since)} is over. A version holds from today or a later date on.")
    files = version(context, caller, group, chosen.digest)
    with context.store.coaching_writing() as writing:
        found = group_of(writing, caller, group)
        holds = files_held(context, writing, found, today)
        held = writing.held_versions(group)
        if any(one == (chosen.since, files.digest) for one in held):
            return
        if _version_on(context, writing, found, chosen.since) == files.digest or (
            files.digest == holds.digest and not held
        ):
            raise NotEditable("This version holds on that date already.")
        _go_on_with(context, writing, found, holds, min(found.first_day, chosen.since - ONE_DAY))
        writing.hold_version(group, HeldVersion(chosen.since, files.digest))
        if chosen.since == today:
            writing.put_group(replace(found, course=files.id))
    context.library.look_again(group_course(group))


def _go_on_with(
    context: Context, writing: CoachingWriting, group: Group, holds: CourseFiles, since: date
) -> None:
    if not writing.held_versions(group.id):
        writing.add_course(kept_course(holds, group.coach, context.clock()))
        writing.hold_version(group.id, HeldVersion(since, holds.digest))


def take_back(context: Context, caller: Caller, group: str, since: date) -> None:
    """Let a version that is to come not come; nothing where none begins on that date.

    Raises:
        Unknown: The group is not there, or is somebody else's.
        NotEditable: It holds already.
    """
    with context.store.coaching_writing() as writing:
        group_of(writing, caller, group)
        begins = any(one.since == since for one in writing.held_versions(group))
        if begins and since <= coach_day(context):
            raise NotEditable("This version holds already. Choose the one before, from today or later on.")
        writing.drop_version(group, since)
    context.library.look_again(group_course(group))
