"""A household's situation on a date: loaded in one transaction, folded from the latest saved standing."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from hashlib import sha256
from typing import TYPE_CHECKING

from coach.course.jsonform import course_from_json, course_json
from coach.errors import NotStarted, OutOfRange
from coach.progress.days import date_of
from coach.progress.journal import Journal, Version, journal
from coach.progress.replay import begin, close_through, open_on
from coach.progress.standing import Standing, standing_of
from coach.progress.state import FORMAT, State, state_from_json, state_json
from coach.services.ports import CourseVersion, SavedStanding

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    from coach.course.model import Course
    from coach.progress.log import Row
    from coach.progress.opening import Opening
    from coach.services.ports import Context, Household, Reading, Writing

EDITABLE_DAYS = 7
SAVED_EVERY = timedelta(days=7)
BEFORE_EDITS = timedelta(days=EDITABLE_DAYS + 1)
ONE_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Situation:
    """What a service works with.

    Attributes:
        home: The household's own row.
        today: Its current date, or the start date if the clock shows an earlier one.
        standing: Where it stands as the date asked for opens.
        state: The state after that opening, with the opening itself, for looking ahead.
        book: The part of the journal that was folded.
        course_is_new: Whether the course's files have changed and nobody has written that down yet.
    """

    home: Household
    today: date
    standing: Standing
    state: State
    opening: Opening
    book: Journal
    course_is_new: bool


def today_of(context: Context, home: Household) -> date:
    """The household's current date by the clock, or the day that is tried instead."""
    return context.pretend or date_of(context.clock(), home.zone, home.day_starts)


def started_home(reading: Reading) -> Household:
    """The household.

    Raises:
        NotStarted: It has not chosen its first step.
    """
    home = reading.household()
    if home is None:
        raise NotStarted("This household has not started. Choose a first step on the start page.")
    return home


def is_editable(on: date, today: date, started: date) -> bool:
    """Whether marks of a date can be changed: today and the seven days before, not before the start."""
    return started <= on <= today and (today - on).days <= EDITABLE_DAYS


def _versions(context: Context, home: Household, reading: Reading, today: date) -> list[CourseVersion]:
    """The versions of the course, with the files' present content from today on if that is new."""
    stored = reading.courses()
    course = context.library.course(home.course)
    if stored and stored[-1].digest == course.digest:
        return list(stored)
    return [*stored, CourseVersion(today, course.digest, course_json(course))]


def notice_course(context: Context, home: Household, writing: Writing, today: date) -> None:
    """Write down that the course's files have changed, so that days closed so far keep what they were."""
    stored = writing.courses()
    versions = _versions(context, home, writing, today)
    if len(versions) > len(stored):
        writing.add_course(versions[-1])


def _digest(versions: Sequence[CourseVersion]) -> str:
    lines = f"{FORMAT}\n" + "\n".join(f"{version.since} {version.digest}" for version in versions)
    return sha256(lines.encode()).hexdigest()


def _course(context: Context, home: Household, version: CourseVersion) -> Course:
    current = context.library.course(home.course)
    if current.digest == version.digest:
        return current
    course: Course = context.memo.get(
        ("course", version.digest), version.digest, lambda: course_from_json(version.content)
    )
    return course


def situation(
    context: Context, reading: Reading, on: date | None = None, extra: Sequence[Row] = ()
) -> Situation:
    """Where a household stands on a date.

    Args:
        context: Store, lessons and clock.
        reading: The open transaction.
        on: The date, or None for today.
        extra: Rows about to be written, taken as if they stood in the log.

    Raises:
        NotStarted: The household has not started.
        OutOfRange: The date lies before the start or in the future.
        Unknown: The date never happened.
    """
    home = started_home(reading)
    clock_day = today_of(context, home)
    versions = _versions(context, home, reading, clock_day)
    saved = _saved(reading, versions, on or clock_day)
    rows = reading.rows(saved.through + ONE_DAY if saved else None)
    book = journal(_timeline(context, home, versions), [*rows, *extra])
    state = _resumed(saved, book)
    today = max(clock_day, state.started)
    on = on or today
    if on > today:
        raise OutOfRange(f"{on} lies in the future; today is {today}.")
    opening = open_on(state, book, on)
    is_new = len(versions) > len(reading.courses())
    return Situation(home, today, standing_of(state, opening), state, opening, book, is_new)


def _saved(reading: Reading, versions: Sequence[CourseVersion], before: date) -> SavedStanding | None:
    """The latest saved standing before a date; it was folded with the versions that held by then."""
    for count in range(len(versions), 0, -1):
        saved = reading.standing(before, _digest(versions[:count]))
        if saved is not None:
            return saved
    return None


def _timeline(context: Context, home: Household, versions: Sequence[CourseVersion]) -> list[Version]:
    return [Version(version.since, _course(context, home, version)) for version in versions]


def _resumed(saved: SavedStanding | None, book: Journal) -> State:
    if saved is None:
        return begin(book)
    return state_from_json(saved.state, book.course_on(saved.through))


def save_standings(context: Context, writing: Writing) -> None:
    """Keep a standing for every week up to the days that can still be edited, where none is kept yet."""
    home = started_home(writing)
    today = today_of(context, home)
    versions = _versions(context, home, writing, today)
    last = today - BEFORE_EDITS
    saved = _saved(writing, versions, last)
    if saved and last - saved.through < SAVED_EVERY:
        return
    rows = writing.rows(saved.through + ONE_DAY if saved else None)
    book = journal(_timeline(context, home, versions), rows)
    state = _resumed(saved, book)
    through = saved.through if saved else state.started
    while (through := through + SAVED_EVERY) <= last:
        close_through(state, book, through)
        if state.through is not None:
            held = [version for version in versions if version.since <= state.through]
            writing.save_standing(SavedStanding(state.through, _digest(held), state_json(state)))
