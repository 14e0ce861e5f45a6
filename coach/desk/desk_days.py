"""The desk-work days of a household: those of its step for desk work, or every day (home.md §5)."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from coach.course.recurrence import next_fall
from coach.progress.days import ONE_DAY
from coach.progress.standing import Stand

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from datetime import date

    from coach.desk.rules.dues import DeskDays
    from coach.ground.situation import Situation

STEP = "desk-work"
_AHEAD = timedelta(days=400)
_WORKED_ON = {Stand.PRACTISING, Stand.SETTLED}


def desk_days(where: Situation) -> DeskDays:
    """The first desk-work day on or after a date, if there is one within the next 400 days.

    Days away are none. Today is one while the step of an earlier day is still open.
    """
    following = _following(where)

    def first(day: date) -> date | None:
        if day == where.today and is_open(where, STEP):
            return day
        return next((found for found in following(day) if not where.away(found)), None)

    return first


def is_open(where: Situation, step: str) -> bool:
    """Whether a step stands on today's list."""
    return step in where.standing.checklist


def _following(where: Situation) -> Callable[[date], Iterator[date]]:
    place = where.standing.steps.get(STEP)
    start = place.introduced_on if place is not None and place.state in _WORKED_ON else None
    if place is None or start is None:
        return lambda day: (day + ahead * ONE_DAY for ahead in range(_AHEAD.days))
    rule, since = place.step.repeats, start
    return lambda day: _falls(rule, since, day)


def _falls(rule: str, start: date, day: date) -> Iterator[date]:
    found = next_fall(rule, start, day - ONE_DAY)
    while found is not None and found - day < _AHEAD:
        yield found
        found = next_fall(rule, start, found)
