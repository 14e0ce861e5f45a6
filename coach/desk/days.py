"""Desk-work days, on which a step that works at the desk falls: those to come, and what the last one told."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from coach.course.model import Part
from coach.course.recurrence import next_fall
from coach.desk.rules.dues import Told
from coach.ground.weeks import WEEK
from coach.progress.closing import close_day
from coach.progress.days import ONE_DAY, exists, following
from coach.progress.opening import Phase
from coach.progress.replay import open_on

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import date

    from coach.desk.rules.dues import DeskDays
    from coach.ground.situation import Situation
    from coach.progress.opening import Opening
    from coach.progress.state import Record, State

AHEAD = timedelta(days=400)
"""How far ahead a desk-work day is looked for."""

BACK = (timedelta(days=8), timedelta(days=62))
"""How far back the latest desk-work day is looked for, at first and at most; before that none counts."""


def is_on_list(where: Situation, part: Part) -> bool:
    """Whether a step that works in a part of the home plan stands on today's list."""
    steps = where.standing.steps
    return any(steps[step].step.part is part for step in where.standing.checklist)


def desk_days(where: Situation) -> DeskDays:
    """The first desk-work day on or after a date, if there is one within the next 400 days.

    Days away are none. Today is one while a step of an earlier day is still open. While no step works at the
    desk, every day is one.
    """
    working = _working(where.state)

    def first(day: date) -> date | None:
        if day == where.today and is_on_list(where, Part.DESK) and not where.away(day):
            return day
        return next((found for found in _days(working, day) if not where.away(found)), None)

    return first


def _working(state: State) -> list[Record]:
    """The steps that work at the desk and neither rest nor are set aside."""
    return [record for record in state.records.values() if record.active and record.step.part is Part.DESK]


def _days(working: list[Record], day: date) -> Iterator[date]:
    """The dates on which one of some steps falls, from a day on; every date if there is no step."""
    last, found = day + AHEAD, day - ONE_DAY
    while (after := _next(working, found)) is not None and after < last:
        yield after
        found = after


def _next(working: list[Record], day: date) -> date | None:
    if not working:
        return day + ONE_DAY
    falls = [
        next_fall(record.step.repeats, record.introduced, day) for record in working if record.introduced
    ]
    return min((fall for fall in falls if fall is not None), default=None)


def told(where: Situation) -> Told | None:
    """What the latest desk-work day before today has told, as the household and its course stood then.

    An absence that came to be known later made no difference to what was listed then, so absences are left
    out of what it took for the next desk-work day.
    """
    plain = _plainly(where)
    return plain or next((found for back in BACK if (found := _folded(where, where.today - back))), None)


def _plainly(where: Situation) -> Told | None:
    """What it has told, read off the steps as they stand; None where only the days themselves could say.

    They stand as they stood then if every step that works at the desk came before, was never moved, and has
    an outcome since it fell last, and if there were neither days away nor another version of the course.
    """
    state, today = where.state, where.standing.on
    here = [record for record in state.records.values() if record.step.part is Part.DESK]
    closed = [_closed(record, today) for record in here if record.introduced]
    if today != where.today or not closed or None in closed:
        return None
    dates = [day for day in closed if day is not None]
    since = min(dates) - WEEK
    away = bool(state.away) and state.away[-1][1] >= since
    came = any(record.introduced and record.introduced > since for record in here)
    if away or came or where.versions[-1].since > since:
        return None
    on = max(dates)
    return Told(on, _next(here, on) or on + AHEAD)


def _closed(record: Record, today: date) -> date | None:
    """The date a step's latest occurrence closed on, if it fell in the week before and no other since."""
    if not record.active or not record.outcomes or record.introduced is None or "repeats" in record.changes:
        return None
    on = record.outcomes[-1][0]
    fell = next_fall(record.step.repeats, record.introduced, on - WEEK)
    following_one = next_fall(record.step.repeats, record.introduced, on)
    fits = fell is not None and fell <= on and following_one is not None and following_one > today
    return on if fits else None


def _folded(where: Situation, first: date) -> Told | None:
    """What it has told, from folding the days since a date once more."""
    first = max(where.standing.started, first)
    begin = first if exists(first, where.standing.zone) else following(first, where.standing.zone)
    if begin >= where.today:
        return None
    past = where.at(begin)
    state, opening, found = past.state, past.opening, None
    while opening.date < where.today:
        found = _told_by(state, opening) or found
        close_day(state, opening)
        opening = open_on(state, past.book, following(opening.date, state.zone))
    return found


def _told_by(state: State, opening: Opening) -> Told | None:
    working, day = _working(state), opening.date
    is_desk_day = not working or any(record.step.id in opening.checklist for record in working)
    if opening.phase in {Phase.PAUSED, Phase.LAPSED} or not is_desk_day:
        return None
    return Told(day, _next(working, day) or day + AHEAD)
