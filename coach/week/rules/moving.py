"""A job moved to another day: its rule with another weekday or date, and all else as it was (home rules)."""

from __future__ import annotations

from calendar import monthrange
from dataclasses import replace
from datetime import timedelta
from typing import TYPE_CHECKING

from coach.course.recurrence import falls, period_of
from coach.course.rule import WEEKDAYS, Rule, rule_of
from coach.ground.weeks import DAYS_IN_WEEK, days_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from datetime import date

# Every month has these, so a job moved to one of them comes every month.
_IN_EVERY_MONTH = 28
_MONTHS = 12
_MONDAY, _SUNDAY = 0, 6


def moved(rule: str, start: date, day: date, to: date) -> str | None:
    """The rule that falls on `to` in the place of `day`, every so many weeks or months as before.

    A weekly rule gets the other weekday, a monthly one too if it goes by weekdays (the first Saturday becomes
    the first Tuesday), else the other day of the month. Where a job comes every other week, the weeks of the
    rule may have to begin on another day to bring the job on this one; where the other day lies in another
    month, it is given a place that it has there and in every month. If nothing else will do, the rule counts
    from a DTSTART of its own.

    Args:
        rule: An allowed rule (see `coach.course.recurrence.rule_fault`).
        start: Its DTSTART.
        day: A date on which it falls.
        to: A date of the same week, in a household's weeks or the rule's.

    Returns:
        The new rule, or None where the rule is tied to no single day, falls on the other one already, or its
        other days cannot stay where they are.
    """
    parts = replace(rule_of(rule), begins=None)
    if parts.freq == "DAILY" or parts.positions or not falls(rule, start, day):
        return None
    changed = _weekly(parts, start, day, to) if parts.freq == "WEEKLY" else _monthly(parts, start, day, to)
    return None if changed is None else rule_text(changed)


def _weekly(parts: Rule, start: date, day: date, to: date) -> Rule | None:
    others = {weekday for _, weekday in parts.days} - {day.weekday()}
    if to.weekday() in others | {day.weekday()} or (parts.months and to.month not in parts.months):
        return None
    changed = replace(parts, days=tuple((0, weekday) for weekday in sorted(others | {to.weekday()})))
    if parts.interval == 1:
        return changed
    dates = [to, *(_in_week_of(day, weekday, parts.week_start) for weekday in others)]
    ways = _beginnings(changed, dates)
    in_turn = (way for way in ways if _in_turn(way, start, to))
    return next(in_turn, None) or (_counted_anew(ways[0], start, to) if ways else None)


def _in_week_of(day: date, weekday: int, week_start: int) -> date:
    """The date of a weekday in the week of a day."""
    place, ahead = ((one - week_start) % DAYS_IN_WEEK for one in (day.weekday(), weekday))
    return day + timedelta(days=ahead - place)


def _beginnings(rule: Rule, dates: Sequence[date]) -> list[Rule]:
    """The rule with its weeks beginning on each weekday that leaves these dates in one week.

    As it was comes first, then the two days on which weeks of households begin.
    """
    ways = dict.fromkeys((rule.week_start, _MONDAY, _SUNDAY, *range(DAYS_IN_WEEK)))
    begun = (replace(rule, week_start=week_start) for week_start in ways)
    return [way for way in begun if len({period_of(way, day) for day in dates}) == 1]


def _in_turn(rule: Rule, start: date, day: date) -> bool:
    """Whether a day's week or month is one of those in which a rule comes."""
    return (period_of(rule, day) - period_of(rule, start)) % rule.interval == 0


def _counted_anew(rule: Rule, start: date, to: date) -> Rule | None:
    """The rule counted from a beginning of its own, the latest one before its start that leads to a day.

    Where the weekday a job moves to is that of its introduction, no other beginning of the weeks can bring it
    every other week on the days between those of its introduction.
    """
    back = (period_of(rule, start) - period_of(rule, to)) % rule.interval
    try:
        return replace(rule, begins=_earlier(rule, start, back))
    except (OverflowError, ValueError):
        return None


def _earlier(rule: Rule, start: date, back: int) -> date:
    """The first day of the week or month so many before the one of a date."""
    if rule.freq == "WEEKLY":
        week = start - timedelta(days=(start.weekday() - rule.week_start) % DAYS_IN_WEEK)
        return week - timedelta(weeks=back)
    year, month = divmod(start.year * _MONTHS + start.month - 1 - back, _MONTHS)
    return start.replace(year=year, month=month + 1, day=1)


def _monthly(parts: Rule, start: date, day: date, to: date) -> Rule | None:
    if parts.days and parts.monthdays:
        return None
    changed = _by_weekday(parts, day, to) if parts.days else _by_date(parts, start, day, to)
    if changed is None:
        return None
    changed = _in_other_months(changed, period_of(parts, to) - period_of(parts, day))
    if changed is None or _in_turn(changed, start, to):
        return changed
    return _counted_anew(changed, start, to)


def _by_date(parts: Rule, start: date, day: date, to: date) -> Rule | None:
    others = set(parts.monthdays or (start.day,)) - {day.day}
    taken = others | {day.day}
    if min(taken) < 0 or to.day in taken or to.day > _IN_EVERY_MONTH:
        return None
    return replace(parts, monthdays=tuple(sorted(others | {to.day})))


def _by_weekday(parts: Rule, day: date, to: date) -> Rule | None:
    days = tuple((_ordinal(ordinal, to), to.weekday()) if _is(ordinal, weekday, day) else (ordinal, weekday)
                 for ordinal, weekday in parts.days)  # fmt: skip
    return None if len(set(days)) < len(days) or days == parts.days else replace(parts, days=days)


def _ordinal(ordinal: int, to: date) -> int:
    """The same place in the month if the other day has it, else its place from the nearer end of the month.

    That one is the third at most, so every month has it.
    """
    return ordinal if _is(ordinal, to.weekday(), to) else min(_places(to), key=abs)


def _is(ordinal: int, weekday: int, day: date) -> bool:
    """Whether a numbered weekday of the month is this day."""
    return weekday == day.weekday() and ordinal in {0, *_places(day)}


def _places(day: date) -> tuple[int, int]:
    """Which of its weekday a day is in its month, from the beginning and from the end."""
    to_end = monthrange(day.year, day.month)[1] - day.day
    return (day.day - 1) // DAYS_IN_WEEK + 1, -(to_end // DAYS_IN_WEEK + 1)


def _in_other_months(rule: Rule, later: int) -> Rule | None:
    """A rule whose day went into another month: its months go with it, if it has that day alone."""
    if not later or (rule.interval == 1 and not rule.months):
        return rule
    if max(len(rule.days), len(rule.monthdays)) > 1 or any(ordinal == 0 for ordinal, _ in rule.days):
        return None
    return replace(rule, months=tuple((month - 1 + later) % _MONTHS + 1 for month in rule.months))


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
    text = ";".join([f"FREQ={parts.freq}", *interval, *named, *week_start])
    return f"DTSTART:{parts.begins:%Y%m%d} RRULE:{text}" if parts.begins else text
