"""The dates on which a step falls, by its RFC 5545 rule and the date it was introduced."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from functools import lru_cache
from typing import TYPE_CHECKING, cast

from dateutil.rrule import rrulestr

from coach.course.rule import WEEKDAYS, Rule, rule_of
from coach.course.rule_words import in_words, weekdays, weekly_on
from coach.errors import Malformed

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dateutil.rrule import rrule

__all__ = [
    "falls",
    "in_words",
    "is_on_leap_days_only",
    "is_seldom",
    "is_weekly_at_most",
    "next_fall",
    "period_of",
    "rule_fault",
    "weekdays",
    "weekly_on",
]

# Twenty-eight years in a row without a century hold every kind of year there is: either length, beginning on
# any weekday. These lie so near the end of dateutil's calendar that its search for a date that never comes is
# over in milliseconds.
_YEARS = range(9968, 9996)
_AHEAD = 3653  # the days of ten years
_WEEKS = 53
_LEAP_DAY = 59  # 29 February, counted from 0 in its year


def rule_fault(rule: str, *, may_begin: bool = False) -> str | None:
    """Say in one sentence why a step cannot have this rule, or None if it can.

    Args:
        rule: The rule.
        may_begin: Whether it may have a DTSTART of its own, as a rule has that a household adjusted.
    """
    try:
        parts = rule_of(rule)
    except Malformed as error:
        return str(error)
    if parts.begins and not may_begin:
        return "DTSTART is not allowed: a step's rule begins on the date the step is introduced; take it out"
    text = _every_period(parts, date(_YEARS[0], 1, 1))
    if next(iter(_occurrences(text, _YEARS[0])), None) is None:
        return f"{rule} never falls on any date"
    return None


def is_on_leap_days_only(rule: str) -> bool:
    """Tell whether an allowed rule falls on 29 February and on no other date."""
    return set(_years_of(rule)) == {0, 1 << _LEAP_DAY}


def is_seldom(rule: str) -> bool:
    """Tell whether an allowed rule falls less than once a year, taken over many years."""
    return sum(dates.bit_count() for dates in _years_of(rule)) < len(_YEARS) * rule_of(rule).interval


def falls(rule: str, start: date, on: date) -> bool:
    """Tell whether the rule falls on a date.

    Args:
        rule: An allowed rule (see `rule_fault`).
        start: Its DTSTART, the date of introduction, unless it has its own to count from. As in dateutil, a
            start that does not match the rule is no occurrence.
        on: The date asked about; before `start` nothing falls.

    Raises:
        Malformed: The rule is not allowed.
    """
    if on < start:
        return False
    recurrence = _recurrence(rule, start)
    parts = recurrence.rule
    if parts.begins and on < parts.begins:
        return False
    if parts.is_daily:
        return True
    if parts.interval > 1 and (period_of(parts, on) - recurrence.first) % parts.interval:
        return False
    new_year, dates = _year(recurrence.text, on.year)
    return bool(dates >> (on.toordinal() - new_year) & 1)


def next_fall(rule: str, start: date, after: date) -> date | None:
    """The first date later than `after` on which the rule falls, or None if there is none for ten years."""
    first = max(after + timedelta(days=1), start)
    days = (first + timedelta(days=ahead) for ahead in range(_AHEAD))
    return next((day for day in days if falls(rule, start, day)), None)


def is_weekly_at_most(rule: str) -> bool:
    """Tell whether a rule falls weekly or less often: a year holds at most 53 of one weekday."""
    most = max(dates.bit_count() for dates in _years_of(rule))
    return most <= _WEEKS * rule_of(rule).interval


def _years_of(rule: str) -> list[int]:
    """For each of the years that stand for all, one bit for every day: whether the rule may fall."""
    text = _every_period(rule_of(rule), date(_YEARS[0], 1, 1))
    return [_dates(text, year) for year in _YEARS]


@dataclass(frozen=True, slots=True)
class _Recurrence:
    """A rule that begins on a date, with its interval set apart.

    Attributes:
        rule: The rule's parts.
        first: The number of the period (day, week or month) that holds the start.
        text: The rule without its interval, for dateutil.
    """

    rule: Rule
    first: int
    text: str


@lru_cache(maxsize=4096)
def _recurrence(rule: str, start: date) -> _Recurrence:
    """Set the interval apart and leave the rest to dateutil.

    So the dates of a year hardly depend on the start, a week cut by the start keeps its BYSETPOS (dateutil
    counts positions from the start instead), and a rule whose interval never meets its BY parts is no endless
    search.
    """
    parts = rule_of(rule)
    begun = parts.begins or start
    return _Recurrence(parts, period_of(parts, begun), _every_period(parts, begun))


def period_of(rule: Rule, day: date) -> int:
    """Number the day, week or month that holds a day, as the rule repeats by it: every `interval` of them."""
    if rule.freq == "MONTHLY":
        return day.year * 12 + day.month
    if rule.freq == "WEEKLY":
        return (day.toordinal() - 1 - rule.week_start) // 7
    return day.toordinal()


def _every_period(rule: Rule, start: date) -> str:
    """The rule for dateutil without its interval, and with what RFC 5545 takes from the start spelled out."""
    monthdays, days = rule.monthdays, rule.days
    if rule.freq == "MONTHLY" and not (monthdays or days):
        monthdays = (start.day,)
    if rule.freq == "WEEKLY" and not days:
        days = ((0, start.weekday()),)
    lists: dict[str, Sequence[object]] = {
        "BYMONTH": rule.months,
        "BYMONTHDAY": monthdays,
        "BYDAY": _day_names(days),
        "BYSETPOS": rule.positions,
    }
    parts = [f"{name}={','.join(map(str, values))}" for name, values in lists.items() if values]
    return ";".join([f"WKST={WEEKDAYS[rule.week_start]}", f"FREQ={rule.freq}", *parts])


def _day_names(days: tuple[tuple[int, int], ...]) -> list[str]:
    """Write BYDAY; beside a numbered weekday dateutil counts another one only if that is numbered too."""
    every = range(1, 6) if any(ordinal for ordinal, _ in days) else ("",)
    return [
        f"{number}{WEEKDAYS[day]}" for ordinal, day in days for number in ((ordinal,) if ordinal else every)
    ]


@lru_cache(maxsize=4096)
def _year(text: str, year: int) -> tuple[int, int]:
    """The ordinal of the year's first day, and one bit for each of its days: whether the rule falls."""
    new_year = date(year, 1, 1)
    alike = next(other for other in _YEARS if _is_alike(date(other, 1, 1), new_year))
    return new_year.toordinal(), _dates(text, alike)


def _is_alike(new_year: date, other: date) -> bool:
    """Whether two years, given by their first days, have the same calendar."""
    ends = [day.replace(month=12, day=31).weekday() for day in (new_year, other)]
    return new_year.weekday() == other.weekday() and ends[0] == ends[1]


@lru_cache(maxsize=4096)
def _dates(text: str, year: int) -> int:
    """One bit for each day of a year: whether the rule, repeating in every period, falls on it."""
    first, last = datetime(year, 1, 1), datetime(year, 12, 31)  # noqa: DTZ001 dateutil works in bare dates
    return sum(1 << (day - first).days for day in _occurrences(text, year).between(first, last, inc=True))


def _occurrences(text: str, year: int) -> rrule:
    """The rule's dates from the beginning of the week that holds the first of January."""
    first = datetime(year, 1, 1)  # noqa: DTZ001 dateutil works in bare dates
    week_start = WEEKDAYS.index(text[5:7])
    in_week = (first.weekday() - week_start) % 7 if "FREQ=WEEKLY" in text else 0
    return cast("rrule", rrulestr(text, dtstart=first - timedelta(days=in_week)))
