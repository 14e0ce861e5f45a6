"""Leaving with one's data: everything of a household in one file, and nothing of anybody else."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from coach.ground.course_names import brought_course, brought_named, group_named, version_named
from coach.ground.situation import started_home, today_of
from coach.household.home_file import HomeFile, Named, Replied, write_home
from coach.household.kept_log import KIND, contents_of

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Sequence
    from datetime import date

    from coach.ground.coaching import CoachingReading
    from coach.ground.groups import Enrolment, KeptCourse
    from coach.ground.people import Member
    from coach.ground.plan_rows import PlannedRow
    from coach.ground.ports import Context, Reading
    from coach.ground.rows import WrittenRow


def take_along(context: Context, household: str) -> bytes:
    """One file with the log, the plan and its history, the course as it was followed, settings, and names.

    What lets somebody in (devices, codes, tokens, passkeys, addresses of feeds and reminders) is not in it,
    nor is anything of the coach's or of another household's but the answers to its own questions.

    Raises:
        NotStarted: The household has not chosen its first step.
        StoreError: Rows cannot be read.
    """
    with context.store.reading(household) as reading:
        held, enrolment = lived_here(reading), reading.enrolment()
    today = today_of(context, held.home)
    with context.store.coaching_reading() as coaching:
        course, kept = course_alone(coaching, held.home.course, today)
        asked = tuple(_asked(coaching, enrolment)) if enrolment and enrolment.group else ()
    if kept is not None:
        course = brought_course(kept.course)
    packed = b"" if kept is None else kept.packed
    return write_home(replace(held, home=replace(held.home, course=course), asked=asked, packed=packed))


def course_alone(coaching: CoachingReading, course: str, today: date) -> tuple[str, KeptCourse | None]:
    """What a household follows on a date by itself: a course of the folder, or a version kept here."""
    digest, shipped, coach = version_named(course), course, ""
    if (group_id := group_named(course)) is not None:
        group, versions = coaching.group(group_id), coaching.held_versions(group_id)
        begun = [one for one in versions if one.since <= today] or list(versions[:1])
        coach = group.coach if group else ""
        digest, shipped = (begun[-1].digest, course) if begun else (None, group.course if group else course)
    elif (brought := brought_named(course)) is not None:
        digest = next((one.digest for one in coaching.kept_courses("") if one.course == brought), None)
    return shipped, None if digest is None else coaching.kept_course(digest, coach)


def lived_here(reading: Reading) -> HomeFile:
    """What a household's own tables hold of it.

    Raises:
        NotStarted: The household has not chosen its first step.
        StoreError: Rows cannot be read.
    """
    home, enrolment = started_home(reading.household()), reading.enrolment()
    log = reading.written_rows()
    # What was kept before an import is no plan of the household's.
    plan = [one for one in reading.planned_rows() if one.row.what != KIND]
    name = "" if enrolment is None else enrolment.name
    people, courses = tuple(_people(reading, log, plan)), tuple(contents_of(reading))
    return HomeFile(name, home, people, log, plan, courses)


def _people(reading: Reading, log: Sequence[WrittenRow], plan: Sequence[PlannedRow]) -> Iterator[Named]:
    members = reading.members()
    yield from (Named(one.person, one.name, one.role, one.since) for one in members)
    gone = _who_wrote(log, plan) - _keys(members)
    yield from (Named(person, name) for person, name in sorted(reading.names_of(gone).items()))


def _who_wrote(log: Sequence[WrittenRow], plan: Sequence[PlannedRow]) -> set[str]:
    return ({one.by for one in log} | {one.by for one in plan}) - {""}


def _keys(members: Collection[Member]) -> set[str]:
    return {one.person for one in members}


def _asked(coaching: CoachingReading, enrolment: Enrolment) -> Iterator[Replied]:
    """What it asked in its group, with the answers."""
    answers = {one.id: one for one in coaching.answers(enrolment.group)}
    for one in coaching.questions(enrolment.group, enrolment.household):
        answer = answers.get(one.answer)
        yield Replied(
            one.step,
            one.lesson,
            one.text,
            one.person,
            one.with_name,
            one.asked_at,
            answer.text if answer else "",
            answer.answered_at if answer else None,
        )


def unsign(context: Context, enrolment: Enrolment) -> None:
    """Take a household's name from everything that it asked in its group."""
    with context.store.coaching_writing() as writing:
        for one in writing.questions(enrolment.group, enrolment.household):
            if one.with_name:
                writing.put_question(replace(one, with_name=False))


def let_go(context: Context, enrolment: Enrolment) -> None:
    """Let what a household asked in its group stand there without it: nobody's, and without a name."""
    with context.store.coaching_writing() as writing:
        for one in writing.questions(enrolment.group, enrolment.household):
            writing.put_question(replace(one, household="", person="", with_name=False))
