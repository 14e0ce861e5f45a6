"""A month at a glance: what was kept on each of its days, and which steps came and settled in it."""

from __future__ import annotations

import re
from calendar import monthrange
from datetime import date
from typing import TYPE_CHECKING

from coach.errors import Malformed, OutOfRange
from coach.ground.situation import remembered
from coach.ground.wording import month_and_year
from coach.habits.before import AWAY
from coach.habits.gone_by import Month, MonthDay, MonthStep
from coach.progress.closing import KEEPING
from coach.progress.days import ONE_DAY

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from coach.ground.ports import Context
    from coach.ground.situation import Situation
    from coach.progress.standing import StepStanding

_NAME = re.compile(r"([1-9][0-9]{3})-(0[1-9]|1[0-2])")


def month(context: Context, household: str, name: str) -> Month:
    """A month from that of the start to the current one; worked out anew only after something was written.

    Args:
        context: Store, lessons and clock.
        household: Its key.
        name: Such as 2027-01.

    Raises:
        NotStarted: The household has not chosen its first step.
        Malformed: It is not the name of a month.
        OutOfRange: It lies before the start or in the future.
    """
    return remembered(context, household, ("month", name), lambda where: month_in(where, name))


def month_in(where: Situation, name: str | None = None) -> Month:
    """A month, or the current one, out of a situation; its days are folded once. Errors as for `month`."""
    first = where.today.replace(day=1) if name is None else month_named(name)
    _check_reach(where, first)
    last = first.replace(day=monthrange(first.year, first.month)[1])
    lived = {day.date: day for day in _lived(where, first, last)}
    days = tuple(_day(where, lived, on) for on in _dates(first, last))
    started = where.state.started.replace(day=1)
    return Month(
        month=month_name(first),
        first=first,
        days=days,
        kept=sum(day.kept for day in lived.values()),
        of=sum(day.of for day in lived.values()),
        came=_steps(where, lambda place: place.introduced_on, first, last),
        settled=_steps(where, lambda place: place.settled_on, first, last),
        earlier=month_name(first - ONE_DAY) if first > started else None,
        later=month_name(last + ONE_DAY) if last < where.today else None,
    )


def month_named(name: str) -> date:
    """The first date of the month of that name.

    Raises:
        Malformed: It is not written as 2027-01.
    """
    match = _NAME.fullmatch(name)
    if match is None:
        raise Malformed(f"“{name[:20]}” is not a month. Write it as year and month, such as 2027-01.")
    return date(int(match[1]), int(match[2]), 1)


def month_name(day: date) -> str:
    """The name of the month a date lies in, such as 2027-01."""
    return f"{day:%Y-%m}"


def _check_reach(where: Situation, first: date) -> None:
    started, today = where.state.started, where.today
    if first < started.replace(day=1):
        raise OutOfRange(f"{month_and_year(first)} lies before the start in {month_and_year(started)}.")
    if first > today:
        raise OutOfRange(f"{month_and_year(first)} lies in the future; this is {month_and_year(today)}.")


def _dates(first: date, last: date) -> list[date]:
    return [first.replace(day=number) for number in range(1, last.day + 1)]


def _lived(where: Situation, first: date, last: date) -> Iterator[MonthDay]:
    """The household days of the month before today, each with the outcomes that closed on it."""
    until = min(last, where.today - ONE_DAY)
    for opening, state in where.closed(max(first, where.state.started), until):
        away, close = opening.phase in AWAY, state.yesterday
        yield MonthDay(opening.date, "away" if away else "lived", close.kept, close.outcomes)


def _day(where: Situation, lived: dict[date, MonthDay], on: date) -> MonthDay:
    if on == where.today:
        return _today(where)
    if on > where.today:
        return MonthDay(on, "ahead", 0, 0)
    if on < where.state.started:
        return MonthDay(on, "before", 0, 0)
    # What never happened where the household lives was not lived there.
    return lived.get(on, MonthDay(on, "away", 0, 0))


def _today(where: Situation) -> MonthDay:
    opening = where.opening
    if opening.phase in AWAY:
        return MonthDay(opening.date, "away", 0, 0)
    kept = sum(opening.marks.get(step_id) in KEEPING for step_id in opening.checklist)
    return MonthDay(opening.date, "today", kept, len(opening.checklist))


def _steps(
    where: Situation, dated: Callable[[StepStanding], date | None], first: date, last: date
) -> tuple[MonthStep, ...]:
    """The steps with one of their dates in the month, by that date and then in course order."""
    found = [
        MonthStep(step_id, place.step.title, on)
        for step_id, place in where.standing.steps.items()
        if (on := dated(place)) is not None and first <= on <= last
    ]
    return tuple(sorted(found, key=lambda one: one.on))
