"""The dates of what repeats on a desk: RFC 5545 rules, yearly ones too (home rules).

The rules of steps do not know FREQ=YEARLY, which bills and renewals need most. A yearly rule is one that
falls in the months it names, in every so many years; so it is read as a monthly rule beside an interval.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from functools import lru_cache
from typing import TYPE_CHECKING

from coach.course.recurrence import falls, rule_fault
from coach.course.rule import rule_of
from coach.errors import Malformed

if TYPE_CHECKING:
    from collections.abc import Iterator

_NO_END = "say until when it is owed by taking it off the list then"
_REFUSED = {
    "COUNT": f"COUNT is not known here: {_NO_END}",
    "UNTIL": f"UNTIL is not known here: {_NO_END}",
    "BYWEEKNO": "BYWEEKNO is not known here: name the month with BYMONTH",
    "BYYEARDAY": "BYYEARDAY is not known here: name the month and its day with BYMONTH and BYMONTHDAY",
}


@dataclass(frozen=True, slots=True)
class _Repeating:
    """A rule of any frequency, for the dates of steps: the years between, and what falls within them."""

    years: int
    rule: str


def repeating_fault(rule: str, start: date) -> str | None:
    """Say in one sentence why nothing can be due by this rule, or None if it can."""
    try:
        within = _read(rule, start)
    except Malformed as error:
        return f"{error}."
    fault = rule_fault(within.rule)
    if fault is not None:
        never = fault.endswith("never falls on any date")
        return f"{rule} never comes: there is no such date." if never else f"{fault}."
    return None


def check_rule(rule: str, start: date) -> None:
    """Refuse a rule whose dates cannot be worked out.

    Raises:
        Malformed: It is one.
    """
    _read(rule, start)


def dates_of(rule: str, start: date, first: date, last: date) -> Iterator[date]:
    """The dates from `first` to `last` on which a rule that starts on `start` falls, in order.

    Raises:
        Malformed: The rule is not allowed.
    """
    for year in range(max(first, start).year, last.year + 1):
        yield from (day for day in _dates_in(rule, start, year) if first <= day <= last)


@lru_cache(maxsize=4096)
def _dates_in(rule: str, start: date, year: int) -> tuple[date, ...]:
    within = _read(rule, start)
    if (year - start.year) % within.years:
        return ()
    new_year = date(year, 1, 1)
    days = (date(year, 12, 31) - new_year).days + 1
    every = (new_year + timedelta(days=ahead) for ahead in range(days))
    return tuple(day for day in every if falls(within.rule, start, day))


def _read(rule: str, start: date) -> _Repeating:
    parts = [part.partition("=")[::2] for part in rule.upper().split(";")]
    for name, _ in parts:
        if name in _REFUSED:
            raise Malformed(_REFUSED[name])
    if ("FREQ", "YEARLY") not in parts:
        rule_of(rule)
        return _Repeating(1, rule)
    names = {name for name, _ in parts}
    monthly = [f"{name}={value}" for name, value in parts if name not in {"FREQ", "INTERVAL"}]
    if not names & {"BYMONTH", "BYMONTHDAY", "BYDAY"}:
        monthly.append(f"BYMONTH={start.month}")
    text = ";".join(["FREQ=MONTHLY", *monthly])
    _check_yearly(text)
    intervals = [value for name, value in parts if name == "INTERVAL"]
    years = rule_of(";".join(["FREQ=MONTHLY", *(f"INTERVAL={value}" for value in intervals)])).interval
    return _Repeating(years, text)


def _check_yearly(monthly: str) -> None:
    """Refuse what means something else within a year than within each of its months."""
    parts = rule_of(monthly)
    if any(ordinal for ordinal, _ in parts.days) and not parts.months:
        raise Malformed("a numbered weekday such as 1MO in a yearly rule needs BYMONTH beside it")
    if parts.positions and len(set(parts.months)) != 1:
        raise Malformed("BYSETPOS in a yearly rule needs BYMONTH with one month beside it")
