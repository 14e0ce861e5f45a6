"""The dates on which a step falls, by its RFC 5545 rule and the date it was introduced."""

from __future__ import annotations

from calendar import isleap
from datetime import date, datetime, timedelta
from functools import lru_cache
from typing import TYPE_CHECKING, cast

from dateutil.rrule import rrulestr

from coach.course.rule import WEEKDAYS, Rule, rule_of
from coach.course.rule_words import in_words, weekdays
from coach.errors import Malformed

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dateutil.rrule import rrule

__all__ = [
    "falls",
    "falls_between",
    "in_words",
    "is_by_days",
    "is_every_day",
    "is_on_leap_days_only",
    "is_seldom",
    "is_weekly_at_most",
    "next_fall",
    "period_of",
    "rule_fault",
    "weekdays",
]

# Twenty-eight years in a row without a century between them hold every kind of year there is: either length,
# beginning on any weekday. dateutil looks for a date that never comes until its calendar ends; from these it
# gets there in milliseconds.
_YEARS = range(9968, 9996)
_AHEAD = 3653  # the days of ten years
_WEEKS = 53
_LEAP_DAY = (2, 29)


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
    return all((day.month, day.day) == _LEAP_DAY for dates in _years_of(rule) for day in dates)


def is_seldom(rule: str) -> bool:
    """Tell whether an allowed rule falls less than once a year, taken over many years."""
    return sum(map(len, _years_of(rule))) < len(_YEARS) * rule_of(rule).interval


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
    return on in _dates_from(rule, start, on.year)


def falls_between(rule: str, start: date, first: date, last: date) -> list[date]:
    """The dates from `first` to `last` on which the rule falls, in order; the rest is as in `falls`."""
    years = range(first.year, last.year + 1)
    return sorted(day for year in years for day in _dates_from(rule, start, year) if first <= day <= last)


def next_fall(rule: str, start: date, after: date) -> date | None:
    """The first date later than `after` on which the rule falls, or None if there is none for ten years."""
    first = max(after + timedelta(days=1), start)
    days = (first + timedelta(days=ahead) for ahead in range(_AHEAD))
    return next((day for day in days if falls(rule, start, day)), None)


def is_by_days(rule: str) -> bool:
    """Tell whether a rule counts in days, so that it falls on every day or every so many."""
    return rule_of(rule).freq == "DAILY"


def is_weekly_at_most(rule: str) -> bool:
    """Tell whether a rule falls weekly or less often: a year holds at most 53 of one weekday."""
    return max(map(len, _years_of(rule))) <= _WEEKS * rule_of(rule).interval


def is_every_day(rule: str) -> bool:
    """Tell whether a rule falls on every day there is, however it says so."""
    days = (365 + isleap(year) for year in _YEARS)
    return rule_of(rule).interval == 1 and list(map(len, _years_of(rule))) == list(days)


def is_most_days(rule: str) -> bool:
    """Tell whether a rule falls on four days of a week or more, as the habits of every day do."""
    return max(map(len, _years_of(rule))) > 3 * _WEEKS * rule_of(rule).interval


def _years_of(rule: str) -> list[frozenset[date]]:
    """The dates on which the rule may fall in each of the years that stand for all."""
    text = _every_period(rule_of(rule), date(_YEARS[0], 1, 1))
    return [_dates(text, year) for year in _YEARS]


@lru_cache(maxsize=4096)
def _dates_from(rule: str, start: date, year: int) -> frozenset[date]:
    """The dates of a year on which a rule that begins on a date falls.

    The interval is counted here and the rest left to dateutil. So a week cut by the start keeps its BYSETPOS
    (dateutil counts positions from the start instead), and a rule whose interval never meets its BY parts is
    no endless search.
    """
    parts = rule_of(rule)
    begun = parts.begins or start
    every = _dates(_every_period(parts, begun), year)
    if max(start, begun).year < year and parts.interval == 1:
        return every
    first = period_of(parts, begun)
    return frozenset(
        day
        for day in every
        if day >= start and day >= begun and (period_of(parts, day) - first) % parts.interval == 0
    )


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


@lru_cache(maxsize=1024)
def _dates(text: str, year: int) -> frozenset[date]:
    """The dates of a year on which a rule falls that repeats in every period."""
    moments = _occurrences(f"{text};UNTIL={year:04}1231", year)
    return frozenset(moment.date() for moment in moments if moment.year == year)


def _occurrences(text: str, year: int) -> rrule:
    """The rule's dates from the beginning of the week that holds the first of January."""
    new_year = datetime(year, 1, 1)  # noqa: DTZ001 dateutil works in bare dates
    weekly = "FREQ=WEEKLY" in text and year > date.min.year
    in_week = (new_year.weekday() - WEEKDAYS.index(text[5:7])) % 7 if weekly else 0
    return cast("rrule", rrulestr(text, dtstart=new_year - timedelta(days=in_week)))
