"""Desk work: dues, and on which day each of them has to be seen (home rules)."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, time, timedelta
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

    SeenTo = Collection[tuple[str, date]]
    """Ids and dates of the dues that are seen to."""

DAYS_NEEDED = 3
"""Days needed before a due if nothing is said; an appointment with a time needs none."""
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
        at: The time of an appointment, by the household's clock.
        seen_to_through: Everything of it up to this date is seen to, so earlier dates are not looked at.
    """

    id: str
    name: str
    on: date
    entered: date
    repeats: str | None = None
    needs: int = DAYS_NEEDED
    amount: str | None = None
    at: time | None = None
    seen_to_through: date | None = None


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


@dataclass(frozen=True, slots=True)
class Told:
    """What the latest desk-work day before a day has told.

    Attributes:
        on: Its date; what was written down later it did not know.
        before: The next desk-work day as it stood then: what it listed has its latest comfortable date before
            that.
    """

    on: date
    before: date

    def knew(self, found: DueDate) -> bool:
        """Whether it listed a date of a due."""
        return found.due.entered <= self.on and found.comfortable < self.before


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


def listed(
    dues: Iterable[Due], seen_to: SeenTo, day: date, desk_days: DeskDays, told: Told | None = None
) -> tuple[DueDate, ...]:
    """The dues that desk work has to see on a day, the earliest first.

    A desk-work day shows every due whose latest comfortable date comes before the next desk-work day, and so
    what is late. Any other day shows what of these no desk-work day has told: what was written down since,
    and what one would have told that was moved, paused or away. While no desk-work day is known, a due is
    shown from its latest comfortable date on.

    Args:
        dues: All that are kept.
        seen_to: What is seen to.
        day: The date asked about.
        desk_days: The first desk-work day on or after a date.
        told: What the latest desk-work day before it has told; None: nothing.
    """
    always = is_desk_day(day, desk_days) or desk_days(day) is None or told is None
    found = _open(dues, seen_to, day, _horizon(day, desk_days))
    return _in_order(one for one in found if always or (told is not None and not told.knew(one)))


def standing(dues: Iterable[Due], seen_to: SeenTo, day: date, begins: time = time.min) -> tuple[DueDate, ...]:
    """The dues whose own date has come by a day, until they are seen to, the earliest first.

    An appointment of the next date at a time before the household's day begins is still in this day.

    Args:
        dues: All that are kept.
        seen_to: What is seen to.
        day: The date asked about.
        begins: The time at which the household's day begins.
    """
    found = between(dues, seen_to, day, date.min, day + ONE_DAY)
    return tuple(
        one
        for one in found
        if one.due.entered <= day and (one.on <= day or (one.due.at is not None and one.due.at < begins))
    )


def between(dues: Iterable[Due], seen_to: SeenTo, day: date, first: date, last: date) -> tuple[DueDate, ...]:
    """The dues of some dates, not seen to, as they stand on a day, the earliest first."""
    found = (
        _standing(due, on, day)
        for due in dues
        for on in _dates(due, last, first)
        if (due.id, on) not in seen_to
    )
    return _in_order(found)


def _in_order(found: Iterable[DueDate]) -> tuple[DueDate, ...]:
    return tuple(sorted(found, key=order))


def order(one: DueDate) -> tuple[date, time, str, str]:
    """What dates of dues are sorted by: what has no time stands before the appointments of its day."""
    return one.on, one.due.at or time.min, one.due.name, one.due.id


def is_desk_day(day: date, desk_days: DeskDays) -> bool:
    """Whether a day is a desk-work day."""
    return desk_days(day) == day


def _horizon(day: date, desk_days: DeskDays) -> date:
    """The date before which latest comfortable dates are looked at."""
    following = desk_days(day + ONE_DAY)
    if following is not None:
        return following
    return day + (_A_YEAR if is_desk_day(day, desk_days) else ONE_DAY)


def _open(dues: Iterable[Due], seen_to: SeenTo, day: date, before: date) -> Iterator[DueDate]:
    """The dates not seen to whose latest comfortable date is before one."""
    for due in dues:
        last = before + timedelta(days=due.needs) - ONE_DAY
        for on in _dates(due, last) if due.entered <= day else ():
            if (due.id, on) not in seen_to:
                yield _standing(due, on, day)


def _dates(due: Due, last: date, since: date = date.min) -> Iterator[date]:
    begun = due.on if due.seen_to_through is None else max(due.on, due.seen_to_through + ONE_DAY)
    first = max(begun, since)
    if due.repeats is None:
        return iter([due.on] if first <= due.on <= last else [])
    return dates_of(due.repeats, due.on, first, last)


def _standing(due: Due, on: date, day: date) -> DueDate:
    comfortable = on - timedelta(days=due.needs)
    return DueDate(due, on, comfortable, _urgency(on, comfortable, day))


def _urgency(on: date, comfortable: date, day: date) -> Urgency:
    if on < day:
        return Urgency.OVERDUE
    return Urgency.LATE if comfortable < day else Urgency.IN_TIME
