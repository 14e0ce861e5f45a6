"""What a version of a course would change, for the course and for each household that may be seen."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import TYPE_CHECKING

from coach.coaching.course_answers import Changes, Move, Sums
from coach.coaching.group_course import files_held, version
from coach.coaching.groups import coach_day, group_of
from coach.coaching.rules.course_changes import rule_changes, step_changes
from coach.errors import Malformed, NotStarted, OutOfRange
from coach.ground.groups import BY_NAME
from coach.ground.situation import begun
from coach.ground.wording import full_date
from coach.limits import CHANGES_HOUSEHOLDS
from coach.progress.days import ONE_DAY
from coach.progress.foresight import coming
from coach.progress.journal import Version
from coach.progress.replay import close_through, open_on

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from coach.course.model import Course
    from coach.ground.people import Caller
    from coach.ground.ports import Context
    from coach.ground.spells import SeenHousehold
    from coach.progress.foresight import Coming

FEWEST = 5
"""A part of a sum that is less, and is not nothing, is not shown, nor any other part beside it."""

TOO_FEW = Sums(None, None, None, None)


def changes(context: Context, caller: Caller, group: str, digest: str, since: date | None = None) -> Changes:
    """What a version would change if it held from a date on; without one, from tomorrow.

    Raises:
        Unknown: The group or the version is not there, or is somebody else's.
        Malformed: The date is over.
    """
    today = coach_day(context)
    since = since or today + ONE_DAY
    if since < today:
        raise Malformed(f"{full_date(since)} is over. A version holds from today or a later date on.")
    with context.store.coaching_reading() as reading:
        holds = files_held(context, reading, group_of(reading, caller, group), today)
    wanted = version(context, caller, group, digest)
    with context.store.counting() as counting:
        seen = counting.seen(group, today)
    looked_at = seen[:CHANGES_HOUSEHOLDS]
    trial = _Trial(context, wanted.course, since)
    named = [one for one in looked_at if one.enrolment.seen_on(today) == BY_NAME]
    named.sort(key=lambda one: (one.enrolment.name.casefold(), one.enrolment.household))
    counted = [one for one in looked_at if one not in named]
    return Changes(
        digest=wanted.digest,
        title=wanted.course.title,
        since=since,
        holds=holds.digest,
        steps=step_changes(holds.course, wanted.course),
        rules=rule_changes(holds.course, wanted.course),
        moves=tuple(_moves(trial, named, [holds.course, wanted.course])),
        sums=_sums(trial, counted, _monday(today)),
        left_out=len(seen) - len(looked_at),
    )


def _monday(today: date) -> date:
    """The day that opened after the last Sunday night."""
    return today - timedelta(days=today.weekday())


class _Trial:
    """A version that is tried on households' logs.

    Attributes:
        since: The date from which it would hold.
    """

    def __init__(self, context: Context, course: Course, since: date) -> None:
        self.context, self.course, self.since = context, course, since

    def of(self, household: str, on: date | None = None) -> tuple[Coming | None, Coming | None] | None:
        """The next step as things are, and the next one under the version; None: it has not begun by then.

        Nothing is written: a household notices a version when it looks itself.
        """
        with self.context.store.reading(household) as reading:
            try:
                found = begun(self.context, reading, on)
            except (NotStarted, OutOfRange):
                return None
            since = max(self.since, found.on)
            book = found.past.book
            tried = replace(book, versions=(*book.versions, Version(since, self.course)))
            # The version begins no earlier than that day, so the days before are folded once.
            state = found.past.resumed()
            close_through(state, book, found.on - ONE_DAY)
            other = state.copy()
            opening, opening_tried = open_on(state, book, found.on), open_on(other, tried, found.on)
            now, then = coming(state, book, opening), coming(other, tried, opening_tried)
            return now, then


def _moves(trial: _Trial, named: Iterable[SeenHousehold], courses: Sequence[Course]) -> Iterator[Move]:
    titles = {step.id: step.title for course in courses for step in course.steps}
    for one in named:
        found = trial.of(one.enrolment.household)
        if found is None:
            continue
        now, then = found
        yield Move(
            household=one.enrolment.household,
            name=one.enrolment.name,
            before=_title(titles, now),
            before_on=now.on if now else None,
            after=_title(titles, then),
            after_on=then.on if then else None,
            days=(then.on - now.on).days if now and then else None,
        )


def _title(titles: dict[str, str], found: Coming | None) -> str:
    """The title of a step of the course; of one that an earlier version had, its id."""
    return "" if found is None else titles.get(found.step, found.step)


def _sums(trial: _Trial, counted: Iterable[SeenHousehold], monday: date) -> Sums:
    """The households that are counted, by whether their next step comes sooner or later."""
    found = [trial.of(one.enrolment.household, monday) for one in counted]
    moved = [_direction(*both) for both in found if both is not None]
    parts = [sum(1 for one in moved if one == way) for way in (-1, 1, 0)]
    if len(moved) < FEWEST or any(0 < part < FEWEST for part in parts):
        return TOO_FEW
    return Sums(len(moved), *parts)


def _direction(now: Coming | None, then: Coming | None) -> int:
    """Sooner is -1, later 1; a step that would not come at all within the days looked at comes later."""
    if now is None or then is None:
        return (now is not None) - (then is not None)
    return (then.on > now.on) - (then.on < now.on)
