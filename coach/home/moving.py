"""A job moved to another day: its rule with another weekday or date, and all else as it was (home.md §1)."""

from __future__ import annotations

from calendar import monthrange
from dataclasses import replace
from typing import TYPE_CHECKING

from coach.course.recurrence import falls
from coach.course.rule import WEEKDAYS, Rule, rule_of
from coach.home.weeks import DAYS_IN_WEEK, days_of

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import date

# Every month has these, so a job moved to one of them comes every month.
_IN_EVERY_MONTH = 28
_MONDAY, _SUNDAY = 0, 6


def moved(rule: str, start: date, day: date, to: date) -> str | None:
    """The rule that falls on `to` in the place of `day`, every so many weeks or months as before.

    A weekly rule gets the other weekday, a monthly one too if it goes by weekdays (the first Saturday becomes
    the first Tuesday), else the other day of the month. Where a job comes every other week, the weeks of the
    rule may have to begin on another day to keep it in the same week; they do if that is enough.

    Args:
        rule: An allowed rule (see `coach.course.recurrence.rule_fault`).
        start: Its DTSTART.
        day: A date on which it falls.
        to: A date of the same week.

    Returns:
        The new rule, or None where the rule is tied to no single day or falls on the other one already.
    """
    parts = rule_of(rule)
    if parts.freq == "DAILY" or parts.positions or not falls(rule, start, day):
        return None
    changed = _weekly(parts, day, to) if parts.freq == "WEEKLY" else _monthly(parts, start, day, to)
    if changed is None:
        return None
    as_before = rule_text(changed)
    if changed.interval == 1 or falls(as_before, start, to):
        return as_before
    others = (rule_text(replace(changed, week_start=beginning)) for beginning in (_MONDAY, _SUNDAY))
    return next((text for text in others if falls(text, start, to)), as_before)


def _weekly(parts: Rule, day: date, to: date) -> Rule | None:
    others = {weekday for _, weekday in parts.days} - {day.weekday()}
    if to.weekday() in others | {day.weekday()}:
        return None
    return replace(parts, days=tuple((0, weekday) for weekday in sorted(others | {to.weekday()})))


def _monthly(parts: Rule, start: date, day: date, to: date) -> Rule | None:
    if parts.days:
        return None if parts.monthdays else _monthly_by_weekday(parts, day, to)
    others = set(parts.monthdays or (start.day,)) - {day.day}
    taken = others | {day.day}
    if min(taken) < 0 or to.day in taken or to.day > _IN_EVERY_MONTH:
        return None
    return replace(parts, monthdays=tuple(sorted(others | {to.day})))


def _monthly_by_weekday(parts: Rule, day: date, to: date) -> Rule | None:
    days = tuple((ordinal, to.weekday()) if _is(ordinal, weekday, day) else (ordinal, weekday)
                 for ordinal, weekday in parts.days)  # fmt: skip
    return None if len(set(days)) < len(days) or days == parts.days else replace(parts, days=days)


def _is(ordinal: int, weekday: int, day: date) -> bool:
    """Whether a numbered weekday of the month is this day."""
    if weekday != day.weekday():
        return False
    to_end = monthrange(day.year, day.month)[1] - day.day
    return ordinal in {0, (day.day - 1) // DAYS_IN_WEEK + 1, -(to_end // DAYS_IN_WEEK + 1)}


def days_within(rule: str, start: date, day: date, week: date, earliest: date) -> dict[date, str]:
    """The days of a week to which a job could move so that it still comes once in it, each with its rule.

    Args:
        rule: The job's rule.
        start: Its DTSTART.
        day: The date in the week on which it falls.
        week: The week's first day.
        earliest: Days before this one are left out.
    """
    days = days_of(week)
    found = {to: moved(rule, start, day, to) for to in days if to >= earliest and to != day}
    return {to: text for to, text in found.items() if text and _falls_on(text, start, days) == [to]}


def _falls_on(rule: str, start: date, days: Iterable[date]) -> list[date]:
    return [day for day in days if falls(rule, start, day)]


def rule_text(parts: Rule) -> str:
    """A rule written out, without what goes without saying."""
    lists: dict[str, Iterable[object]] = {
        "BYMONTH": parts.months,
        "BYMONTHDAY": parts.monthdays,
        "BYDAY": [f"{ordinal or ''}{WEEKDAYS[weekday]}" for ordinal, weekday in parts.days],
        "BYSETPOS": parts.positions,
    }
    named = [f"{name}={text}" for name, values in lists.items() if (text := ",".join(map(str, values)))]
    interval = [f"INTERVAL={parts.interval}"] if parts.interval > 1 else []
    week_start = [f"WKST={WEEKDAYS[parts.week_start]}"] if parts.week_start else []
    return ";".join([f"FREQ={parts.freq}", *interval, *named, *week_start])
