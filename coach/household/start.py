"""The start: what a household can choose from, and its first day."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, NamedTuple

from coach.course.jsonform import course_json
from coach.course.placeholders import pace_words
from coach.errors import AlreadyStarted, Malformed, Unknown
from coach.ground.ports import CourseVersion, Household
from coach.ground.situation import situation, today_of
from coach.ground.writing import refuse_repeated
from coach.habits.day import day_view
from coach.household.answers import RootChoice, Start
from coach.progress.days import checked_zone, hour_of, zone_names
from coach.progress.log import Row, What
from coach.progress.paces import STANDARD, checked_pace

if TYPE_CHECKING:
    from coach.course.model import Course
    from coach.ground.ports import Context, Writing
    from coach.habits.answers import Day

ZONE = "UTC"
DAY_STARTS = "03:00"


@dataclass(frozen=True, slots=True)
class Beginning:
    """The three answers with which a household begins; none: not asked, or left to the usual."""

    first: str | None = None
    zone: str | None = None
    day_starts: str | None = None
    pace: str | None = None

    @property
    def says_anything(self) -> bool:
        """Whether there is any answer."""
        return any((self.first, self.zone, self.day_starts, self.pace))


def choices(context: Context, household: str) -> Start:
    """What the start page offers: the first steps, the zones and the paces."""
    course = context.library.course(context.course)
    return Start(
        course=context.course,
        title=course.title,
        summary=course.summary,
        roots=tuple(
            RootChoice(step.id, step.title, step.why, step.minutes, step.slot.value) for step in course.roots
        ),
        paces=tuple(course.paces),
        pace_words=pace_words(course),
        zones=zone_names(),
        started=context.store.version(household) is not None,
    )


def start(
    context: Context,
    household: str,
    first: str | None = None,
    zone: str | None = None,
    day_starts: str | None = None,
    pace: str | None = None,
) -> Day:
    """Start the course: the chosen first step comes today.

    Args:
        context: Store, lessons and clock.
        household: Its key.
        first: A root of the course; the first one in course order if none is named.
        zone: IANA name; UTC if none is named.
        day_starts: HH:MM, local wall time; 03:00 if none is named.
        pace: A pace of the course; standard if none is named.

    Raises:
        AlreadyStarted: The household has started.
        Repeated: It has started by this very request (`Context.request_id`).
        Unknown: There is no such step.
        Malformed: The step is no root, or the zone, the hour or the pace cannot be read.
    """
    wanted = chosen(context, household, first, zone, day_starts, pace)
    with context.store.writing(household) as writing:
        begin(context, writing, wanted)
        return day_view(situation(context, writing))


def begin(context: Context, writing: Writing, wanted: Chosen, not_before: date | None = None) -> None:
    """Write a household's first rows.

    Args:
        context: Lessons and clock.
        writing: The household's open transaction.
        wanted: What was chosen.
        not_before: The first date on which it may start; a start before is dated on it.

    Raises:
        AlreadyStarted: The household has started.
        Repeated: It has started by this very request (`Context.request_id`).
    """
    refuse_repeated(context, writing, "This household has started with these answers already.")
    if writing.household() is not None:
        raise AlreadyStarted("This household has started already. Today's page shows where it stands.")
    home = wanted.home
    on = max(today_of(context, home), not_before or date.min)
    course = context.library.of(context.course, on).course(context.course)
    writing.create(home)
    writing.add_course(first_version(course, on), course_json(course))
    rows = [
        Row(on, What.ZONE, value=home.zone),
        Row(on, What.DAY_STARTS, value=f"{home.day_starts:%H:%M}"),
        Row(on, What.START, wanted.first, wanted.pace),
    ]
    writing.append(rows, context.clock(), context.request_id, context.by)


def check(
    context: Context, first: str | None, zone: str | None, day_starts: str | None, pace: str | None
) -> None:
    """Read the answers as `start` would, and write nothing.

    Raises:
        Unknown: There is no such step.
        Malformed: The step is no root, or the zone, the hour or the pace cannot be read.
    """
    chosen(context, "", first, zone, day_starts, pace)


class Chosen(NamedTuple):
    """What a household begins with: its own row, its first step and its pace."""

    home: Household
    first: str
    pace: str


def chosen(
    context: Context,
    household: str,
    first: str | None,
    zone: str | None,
    day_starts: str | None,
    pace: str | None,
) -> Chosen:
    """What the answers ask for; arguments and errors as for `start`."""
    course = context.library.course(context.course)
    hour = hour_of(day_starts or DAY_STARTS)
    home = Household(household, context.course, checked_zone(zone or ZONE), hour, 0)
    return Chosen(home, _first(course, first), checked_pace(pace or STANDARD, course.paces))


def first_version(course: Course, start: date) -> CourseVersion:
    """The course's version a household starts with."""
    return CourseVersion(start, course.digest)


def _first(course: Course, first: str | None) -> str:
    roots = course.roots
    if not first:
        return roots[0].id
    step = course.named(first)
    if step is None:
        raise Unknown(f"There is no step “{first}” in this course.")
    if not step.is_root:
        names = ", ".join(root.id for root in roots)
        raise Malformed(f"“{first}” needs other steps first. Begin with one of: {names}.")
    return step.id
