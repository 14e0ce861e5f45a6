"""Weeks: where one begins, the month it belongs to, and the name it has in addresses (home rules)."""

from __future__ import annotations

import re
from calendar import monthrange
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from typing import TYPE_CHECKING

from coach.errors import Malformed
from coach.ground.wording import full_date

if TYPE_CHECKING:
    from collections.abc import Iterable

WEEK = timedelta(days=7)
DAYS_IN_WEEK = 7

_TO_FOURTH = timedelta(days=3)
_TO_LAST = timedelta(days=6)
_NAME = re.compile(r"([0-9]{4})-W([0-9]{2})")


class WeekStart(StrEnum):
    """The weekday on which a household's weeks begin."""

    MONDAY = "monday"
    SUNDAY = "sunday"


# The weekday of a week's fourth day, as ISO 8601 numbers it: Thursday, or Wednesday for Sunday weeks.
_FOURTH_WEEKDAY = {WeekStart.MONDAY: 4, WeekStart.SUNDAY: 3}


@dataclass(frozen=True, slots=True)
class MonthPlace:
    """Where a week lies in its month.

    Attributes:
        year: Of the month.
        month: 1 to 12.
        number: The week's number within the month, from 1.
        length: How many weeks belong to the month: 4 or 5.
    """

    year: int
    month: int
    number: int
    length: int


def week_of(day: date, starts: WeekStart) -> date:
    """The first day of the week that holds a day.

    Raises:
        Malformed: The week is cut by an end of the calendar (years 1 and 9999).
    """
    since = day.weekday() if starts is WeekStart.MONDAY else day.isoweekday() % DAYS_IN_WEEK
    try:
        week = day - timedelta(days=since)
        last_day(week)
    except OverflowError:
        raise Malformed(
            f"The calendar ends within the week of {full_date(day)}. Choose another date."
        ) from None
    return week


def last_day(week: date) -> date:
    """The last day of the week that begins on `week`."""
    return week + _TO_LAST


def fourth_day(week: date) -> date:
    """The day that decides to which month, and to which year's ISO weeks, the week belongs."""
    return week + _TO_FOURTH


def days_of(week: date) -> tuple[date, ...]:
    """The seven days of the week that begins on `week`."""
    return tuple(week + timedelta(days=ahead) for ahead in range(DAYS_IN_WEEK))


def place_in_month(week: date) -> MonthPlace:
    """The month a week belongs to, the one that holds its fourth day, and its place there.

    For weeks that start on Monday that is the month of the week's Thursday (ISO 8601 gives weeks to years in
    the same way), for Sunday weeks the month of its Wednesday.
    """
    fourth = fourth_day(week)
    number = (fourth.day - 1) // DAYS_IN_WEEK + 1
    days_left = monthrange(fourth.year, fourth.month)[1] - fourth.day
    return MonthPlace(fourth.year, fourth.month, number, number + days_left // DAYS_IN_WEEK)


def week_name(week: date) -> str:
    """The week's name in ISO 8601's form, such as 2027-W05.

    It is the ISO week of the week's fourth day. So a Monday week has its ISO name, and a Sunday week the name
    of the ISO week that begins on the day after: the two share six days.
    """
    year, number, _ = fourth_day(week).isocalendar()
    return f"{year:04d}-W{number:02d}"


def week_named(name: str, starts: WeekStart) -> date:
    """The first day of the week of that name; the other way round from `week_name`.

    Raises:
        Malformed: It is not written as 2027-W05, or the year has no such week.
    """
    match = _NAME.fullmatch(name)
    if match is None:
        raise Malformed(f"“{name[:20]}” is not a week. Write it as year and week number, such as 2027-W05.")
    year, number = int(match[1]), int(match[2])
    try:
        fourth = date.fromisocalendar(year, number, _FOURTH_WEEKDAY[starts])
        return week_of(fourth, starts)
    except ValueError:
        raise Malformed(f"The year {year} has no week {number}. Weeks run from 1 to 52 or 53.") from None


def check_weekdays(weekdays: Iterable[int]) -> None:
    """Refuse numbers that are no weekday.

    Raises:
        Malformed: One is none; Monday is 0.
    """
    for weekday in weekdays:
        if not 0 <= weekday < DAYS_IN_WEEK:
            raise Malformed(f"Weekdays are numbered from 0 (Monday) to {DAYS_IN_WEEK - 1}, not {weekday}.")
