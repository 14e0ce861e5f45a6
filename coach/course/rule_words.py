"""Recurrence rules in plain English, and which of them people choose by weekday."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.course.rule import WEEKDAYS, Rule, rule_of

if TYPE_CHECKING:
    from collections.abc import Sequence

_DAYS = ["Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"]
_MONTHS = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
]
_UNITS = {"DAILY": "day", "WEEKLY": "week", "MONTHLY": "month"}
_ORDINALS = ("first", "second", "third", "fourth", "fifth")
_WORKING_DAYS = [0, 1, 2, 3, 4]


def weekdays(rule: str) -> tuple[str, ...] | None:
    """The weekdays of a rule that a person can choose by weekday.

    Returns:
        () for every day, the days in the order of the week for `FREQ=WEEKLY;BYDAY=...`, None for other rules.
    """
    parts = rule_of(rule)
    if parts.is_daily:
        return ()
    if parts.days and parts == Rule("WEEKLY", days=parts.days, week_start=parts.week_start):
        return tuple(WEEKDAYS[day] for day in _weekdays(parts))
    return None


def in_words(rule: str) -> str:
    """Say when a rule falls: "every day", "every second Tuesday", "on the 15th of every month"."""
    parts = rule_of(rule)
    words = {"DAILY": _daily, "WEEKLY": _weekly, "MONTHLY": _monthly}[parts.freq](parts)
    if parts.months:
        words += f", in {_listed([_MONTHS[month - 1] for month in sorted(set(parts.months))])}"
    return words


def _daily(rule: Rule) -> str:
    limits = [f"a {_listed(_day_names(rule), 'or')}"] if rule.days else []
    if rule.monthdays:
        limits.append(f"{_month_days(rule, 'or')} of the month")
    return f"{_every(rule)} that is {_listed(limits)}" if limits else _every(rule)


def _weekly(rule: Rule) -> str:
    days, names = _weekdays(rule), _listed(_day_names(rule))
    if rule.positions:
        return f"on {_positions(rule)} {_listed(_day_names(rule), 'or') or 'day'} of {_every(rule)}"
    if not days:
        return _every(rule)
    if rule.interval == 1:
        everyday = "every day" if len(days) == len(WEEKDAYS) else f"every {names}"
        return "Monday to Friday" if days == _WORKING_DAYS else everyday
    if len(days) == 1:
        return f"every {_ordinal(rule.interval)} {names}"
    return f"{_every(rule)} on {names}"


def _monthly(rule: Rule) -> str:
    every, names = _every(rule), _listed(_day_names(rule), "or")
    if rule.positions:
        return f"on {_positions(rule)} {names or 'date'} of {every}"
    if rule.days and rule.monthdays:
        return f"on {_month_days(rule, 'or')} of {every} if it is a {names}"
    if rule.monthdays:
        return f"on {_month_days(rule, 'and')} of {every}"
    if rule.days:
        return f"on {_listed([_numbered_day(number, day) for number, day in rule.days])} of {every}"
    return every


def _every(rule: Rule) -> str:
    unit = _UNITS[rule.freq]
    return f"every {unit}" if rule.interval == 1 else f"every {_ordinal(rule.interval)} {unit}"


def _weekdays(rule: Rule) -> list[int]:
    return sorted({day for _, day in rule.days})


def _day_names(rule: Rule) -> list[str]:
    return [_DAYS[day] for day in _weekdays(rule)]


def _numbered_day(number: int, day: int) -> str:
    return f"the {_place(number)} {_DAYS[day]}" if number else f"every {_DAYS[day]}"


def _month_days(rule: Rule, joined_by: str) -> str:
    days = [f"the {_figure(day)}" if day > 0 else f"the {_place(day)} day" for day in rule.monthdays]
    return _listed(days, joined_by)


def _positions(rule: Rule) -> str:
    return f"the {_listed([_place(position) for position in rule.positions])}"


def _place(number: int) -> str:
    """A place from the beginning, or for a negative number from the end."""
    if number > 0:
        return _ordinal(number)
    return "last" if number == -1 else f"{_ordinal(-number)} to last"


def _ordinal(number: int) -> str:
    return _ORDINALS[number - 1] if number <= len(_ORDINALS) else _figure(number)


def _figure(number: int) -> str:
    """An ordinal in figures: 1st, 2nd, 3rd, 4th, 11th."""
    ending = "th" if number % 100 in {11, 12, 13} else {1: "st", 2: "nd", 3: "rd"}.get(number % 10, "th")
    return f"{number}{ending}"


def _listed(words: Sequence[str], joined_by: str = "and") -> str:
    """Words as a list in a sentence: "a, b and c"."""
    return f" {joined_by} ".join([part for part in (", ".join(words[:-1]), *words[-1:]) if part])
