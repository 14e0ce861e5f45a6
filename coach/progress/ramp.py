"""The ramp: on which days steps come and settle when everything is kept, for a course and for a household."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import TYPE_CHECKING

from coach.course.rule_words import weekdays
from coach.progress.closing import close_day
from coach.progress.days import following
from coach.progress.journal import Version, journal
from coach.progress.log import Mark, Row, What
from coach.progress.opening import open_day
from coach.progress.replay import begin

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from coach.course.model import Course, Step
    from coach.progress.journal import Journal
    from coach.progress.opening import Opening
    from coach.progress.state import State

A_MONDAY = date(2027, 1, 4)
WEEK = 7
LOOK_AHEAD = 200
MOST_LOOKED_AT = 1_000_000
"""How many steps a check looks at, day by day and start by start: a second or two of processor time."""


@dataclass(frozen=True, slots=True)
class Ramp:
    """What happens when everything is kept; days count from 1 on the start date.

    Attributes:
        introduced: For each step that came, its day.
        settled: For each step that settled, its day.
    """

    introduced: dict[str, int]
    settled: dict[str, int]

    def misses(self, step: Step) -> str | None:
        """What has not happened to a step: it was not introduced, or, waiting, has not settled."""
        if step.id not in self.introduced:
            return "has not been introduced"
        if step.waits and step.id not in self.settled:
            return "has not settled"
        return None


def everything_kept(state: State, book: Journal, opening: Opening) -> Iterator[Opening]:
    """The openings that follow an opened day when everything on every checklist is kept."""
    while True:
        keeping = {step: opening.marks.get(step, Mark.KEPT) for step in opening.checklist}
        close_day(state, replace(opening, marks=keeping))
        opening = open_day(state, book, following(opening.date, state.zone))
        yield opening


def ramp(
    course: Course,
    first: str,
    pace: str,
    days: int,
    start: date = A_MONDAY,
    enough: Callable[[State], bool] = lambda _: False,
) -> Ramp:
    """What happens in the first `days` days when everything is kept.

    Args:
        course: The course.
        first: The root begun with; blank for the first one.
        pace: A pace of the course.
        days: How many days to look at.
        start: The date of the first day; it matters to steps that fall on weekdays.
        enough: Asked of the state after each day; the days after it are left out.
    """
    rows = [Row(start, What.START, first, pace)]
    book = journal([Version(date.min, course)], rows)
    state = begin(book)
    first_day = open_day(state, book, start)
    for opening in everything_kept(state, book, first_day):
        if (opening.date - start).days >= days or enough(state):
            break
    records = state.records.items()
    last = start + timedelta(days=days - 1)
    introduced = {
        step: (record.introduced - start).days + 1
        for step, record in records
        if record.introduced and record.introduced <= last
    }
    settled = {step: (record.settled - start).days + 1 for step, record in records if record.settled}
    return Ramp(introduced, settled)


@dataclass(slots=True)
class Looks:
    """Ends a look ahead once every step has come and every waiting one settled, or after too much of it.

    Attributes:
        left: How many steps may still be looked at.
    """

    left: int = MOST_LOOKED_AT

    def are_enough(self, state: State) -> bool:
        """Count a day, and say whether any more has to be looked at."""
        self.left -= len(state.records)
        return self.left < 0 or all(
            record.introduced and (record.settled or not record.step.waits)
            for record in state.records.values()
        )


def _weekdays(course: Course) -> int:
    """How many weekdays a start has to be tried on: where every step falls every day they are all alike."""
    return 1 if all(weekdays(step.repeats) == () for step in course.steps) else WEEK


def ramp_fault(course: Course) -> str | None:
    """Why a course is refused for its ramp, or None: the first root and weekday of the start that miss it.

    Too large a course is refused too: one of which that cannot be said in a bearable time.
    """
    looks, offsets = Looks(), _weekdays(course)
    for root in course.roots:
        for offset in range(offsets):
            start = A_MONDAY + timedelta(days=offset)
            reached = ramp(course, root.id, "standard", course.ramp_days, start, looks.are_enough)
            if looks.left < 0:
                return _too_large(course, offsets)
            for step in course.steps:
                missing = reached.misses(step)
                if missing:
                    return (
                        f"Started with “{root.id}” on a {start:%A} and with everything kept, “{step.id}” "
                        f"{missing} by the end of day {course.ramp_days} (ramp_days). "
                        "Raise ramp_days, or ask for less before it comes and settles."
                    )
    return None


def _too_large(course: Course, weekdays_tried: int) -> str:
    starts = len(course.roots) * weekdays_tried
    return (
        f"This course is too large to be followed through: with {len(course.steps)} steps, "
        f"{len(course.roots)} of them to begin with, and {course.ramp_days} days (ramp_days), more than "
        f"{MOST_LOOKED_AT:,} steps would have to be looked at, day by day for {starts} starts. Let "
        "households begin with fewer of the steps, lower ramp_days, or make two courses of it."
    )


def comes_next(state: State, book: Journal, opening: Opening) -> str | None:
    """The step that comes next if everything is kept from an opened day on, or None if none does.

    The state is left as it is.
    """
    state = state.copy()
    last = opening.date + timedelta(days=LOOK_AHEAD)
    for later in everything_kept(state, book, opening):
        if later.introduced or later.date > last:
            return later.introduced
    return None
