"""Desk work: dues, and on which day each of them has to be seen (home rules)."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from typing import TYPE_CHECKING

from coach.course.keys import is_blank
from coach.course.keys import text as text_faults
from coach.desk.rules.repeating import dates_of, repeating_fault
from coach.errors import Malformed
from coach.progress.days import ONE_DAY

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Iterable, Iterator

    DeskDays = Callable[[date], date | None]
    """The first desk-work day on or after a date, if one is known."""

    Settled = Collection[tuple[str, date]]
    """Ids and dates of the dues that are dealt with."""

DAYS_NEEDED = 3
MOST_DAYS_NEEDED = 366
NAME_LENGTH = 200
AMOUNT_LENGTH = 40
_A_YEAR = timedelta(days=366)


@dataclass(frozen=True, slots=True)
class Due:
    """A bill, a renewal or an appointment.

    Attributes:
        on: The date it is due, or the first date from which it repeats.
        entered: The date it was written down.
        repeats: RFC 5545 rule whose DTSTART is `on`, or None for a single date.
        needs: Days needed before.
        amount: As typed, if there is any.
        settled_through: Everything of it up to this date is dealt with, so earlier dates are not looked at.
    """

    id: str
    name: str
    on: date
    entered: date
    repeats: str | None = None
    needs: int = DAYS_NEEDED
    amount: str | None = None
    settled_through: date | None = None


class Urgency(StrEnum):
    """How a due stands on a day: there is time, its latest comfortable date is past, or it is past itself."""

    IN_TIME = "in-time"
    LATE = "late"
    OVERDUE = "overdue"


@dataclass(frozen=True, slots=True)
class DueDate:
    """One date on which something is due, as it stands on the day asked about.

    Attributes:
        comfortable: The latest comfortable date: the due date less the days needed.
    """

    due: Due
    on: date
    comfortable: date
    urgency: Urgency


def checked_due(due: Due) -> Due:
    """The due as it is, if it can be kept.

    Raises:
        Malformed: It has no name, cannot be shown, never comes, or a number is out of range.
    """
    if is_blank(due.name):
        raise Malformed("What is due has no name. Give it one.")
    if len(due.name) > NAME_LENGTH or any(text_faults("name", due.name)):
        raise Malformed(f"The name needs up to {NAME_LENGTH} characters that can be shown.")
    if not 0 <= due.needs <= MOST_DAYS_NEEDED:
        raise Malformed(f"The days needed before go from 0 to {MOST_DAYS_NEEDED}, not {due.needs}.")
    if due.amount is not None and len(due.amount) > AMOUNT_LENGTH:
        raise Malformed(f"The amount has {len(due.amount)} characters. Keep it to {AMOUNT_LENGTH}.")
    if due.amount is not None and any(text_faults("amount", due.amount)):
        raise Malformed("The amount has characters in it that cannot be shown. Write it anew.")
    if due.repeats is not None and (fault := repeating_fault(due.repeats, due.on)):
        raise Malformed(fault[0].upper() + fault[1:])
    return due


def listed(dues: Iterable[Due], settled: Settled, day: date, desk_days: DeskDays) -> tuple[DueDate, ...]:
    """The dues to be shown on a day, the earliest first.

    A desk-work day shows every due whose latest comfortable date comes before the next desk-work day, and so
    what is late. A due written down too late to be on a desk-work day in time is shown at once, on every day
    until the next of them. While no desk-work day is known, a due is shown from its latest comfortable date.

    Args:
        dues: All that are kept.
        settled: What is dealt with.
        day: The date asked about.
        desk_days: The first desk-work day on or after a date.
    """
    here = is_desk_day(day, desk_days)
    before = _horizon(day, desk_days)
    found = (
        due_date
        for due in dues
        if due.entered <= day and (here or _came_too_late(due, day, desk_days))
        for due_date in _open_dates(due, settled, day, before)
    )
    return tuple(sorted(found, key=lambda due_date: (due_date.on, due_date.due.name, due_date.due.id)))


def is_desk_day(day: date, desk_days: DeskDays) -> bool:
    """Whether a day is a desk-work day."""
    return desk_days(day) == day


def _horizon(day: date, desk_days: DeskDays) -> date:
    """The date before which latest comfortable dates are looked at."""
    following = desk_days(day + ONE_DAY)
    if following is not None:
        return following
    return day + (_A_YEAR if is_desk_day(day, desk_days) else ONE_DAY)


def _came_too_late(due: Due, day: date, desk_days: DeskDays) -> bool:
    """Whether no desk-work day has come since it was entered: what must be seen before the next is late."""
    first = desk_days(due.entered)
    return first is None or day < first or desk_days(day) is None


def _open_dates(due: Due, settled: Settled, day: date, before: date) -> Iterator[DueDate]:
    """A due's dates that are not dealt with and whose latest comfortable dates lie before a date."""
    needs = timedelta(days=due.needs)
    for on in _dates(due, before + needs - ONE_DAY):
        if (due.id, on) not in settled:
            yield DueDate(due, on, on - needs, _urgency(on, on - needs, day))


def _dates(due: Due, last: date) -> Iterator[date]:
    first = due.on if due.settled_through is None else max(due.on, due.settled_through + ONE_DAY)
    if due.repeats is None:
        return iter([due.on] if first <= due.on <= last else [])
    return dates_of(due.repeats, due.on, first, last)


def _urgency(on: date, comfortable: date, day: date) -> Urgency:
    if on < day:
        return Urgency.OVERDUE
    return Urgency.LATE if comfortable < day else Urgency.IN_TIME
