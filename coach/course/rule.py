"""A recurrence rule taken apart: the parts of RFC 5545 that a step may use."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date
from functools import lru_cache

from coach.errors import Malformed

WEEKDAYS = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")
FREQUENCIES = ("DAILY", "WEEKLY", "MONTHLY")

_DAY = re.compile(r"([+-]?[0-9]{1,2})?(MO|TU|WE|TH|FR|SA|SU)")
_NUMBER = re.compile(r"[+-]?[0-9]{1,9}")
_BEGUN = re.compile(r"DTSTART:([0-9]{4})([0-9]{2})([0-9]{2}) RRULE:(.*)")

# The least and the greatest size of a value, and whether it may count from the end (RFC 5545 §3.3.10).
_RANGES = {
    "INTERVAL": (1, 999_999_999, False),
    "BYMONTH": (1, 12, False),
    "BYMONTHDAY": (1, 31, True),
    "BYSETPOS": (1, 366, True),
}
_REFUSED = {
    "COUNT": "COUNT is not allowed: a step has no last time; take it out",
    "UNTIL": "UNTIL is not allowed: a step has no last day; take it out",
    "BYHOUR": "BYHOUR is not allowed: a step falls on dates, not at times of day",
    "BYMINUTE": "BYMINUTE is not allowed: a step falls on dates, not at times of day",
    "BYSECOND": "BYSECOND is not allowed: a step falls on dates, not at times of day",
    "BYWEEKNO": "BYWEEKNO belongs to yearly rules, which a step cannot have",
    "BYYEARDAY": "BYYEARDAY belongs to yearly rules, which a step cannot have",
}
_MOST_OF_A_WEEKDAY = 5


@dataclass(frozen=True, slots=True)
class Rule:
    """An allowed rule, part by part.

    Attributes:
        freq: DAILY, WEEKLY or MONTHLY.
        interval: Every so many days, weeks or months.
        days: From BYDAY: (ordinal in the month or 0 for every one, weekday with Monday 0).
        months: From BYMONTH.
        monthdays: From BYMONTHDAY; negative ones count from the month's end.
        positions: From BYSETPOS; negative ones count from the end of the period's days.
        week_start: From WKST, with Monday 0, its default.
        begins: Its own DTSTART, where it does not count from the date it is given.
    """

    freq: str
    interval: int = 1
    days: tuple[tuple[int, int], ...] = ()
    months: tuple[int, ...] = ()
    monthdays: tuple[int, ...] = ()
    positions: tuple[int, ...] = ()
    week_start: int = 0
    begins: date | None = None

    @property
    def is_daily(self) -> bool:
        """Whether it falls on every day, its BY parts absent."""
        limited = self.days or self.months or self.monthdays or self.positions
        return self.freq == "DAILY" and self.interval == 1 and not limited


@lru_cache(maxsize=1024)
def rule_of(text: str) -> Rule:
    """Take a rule apart, with or without a DTSTART of its own: `DTSTART:20270104 RRULE:FREQ=...`.

    Raises:
        Malformed: The rule is not allowed; the text says why.
    """
    begins, text = _begun(text)
    parts = _parts(text)
    freq = parts.get("FREQ", "")
    if freq not in FREQUENCIES:
        said = f", not {freq}" if freq else ""
        raise Malformed(f"a rule needs FREQ=DAILY, FREQ=WEEKLY or FREQ=MONTHLY{said}")
    rule = Rule(
        freq,
        interval=_numbers(parts, "INTERVAL")[0] if "INTERVAL" in parts else 1,
        days=_days(parts),
        months=_numbers(parts, "BYMONTH"),
        monthdays=_numbers(parts, "BYMONTHDAY"),
        positions=_numbers(parts, "BYSETPOS"),
        week_start=_week_start(parts),
        begins=begins,
    )
    _check_together(rule)
    return rule


def _begun(text: str) -> tuple[date | None, str]:
    """A rule's own DTSTART, and the rule without it."""
    match = _BEGUN.fullmatch(text)
    if match is None:
        return None, text
    try:
        return date(int(match[1]), int(match[2]), int(match[3])), match[4]
    except ValueError:
        raise Malformed(f"{text[:16]} names no date") from None


def _parts(text: str) -> dict[str, str]:
    """The rule's parts by name; RFC 5545 makes names and values the same in either case."""
    parts: dict[str, str] = {}
    if text[:6].upper() == "RRULE:":
        raise Malformed("leave out RRULE: and begin with FREQ=")
    for part in text.split(";"):
        name, equals, value = part.upper().partition("=")
        if not (name and equals and value):
            raise Malformed(
                f"“{part}” is not a part such as FREQ=DAILY" if part else "a part of the rule is empty"
            )
        _check_name(name)
        if name in parts:
            raise Malformed(f"{name} stands in the rule twice")
        parts[name] = value
    return parts


def _check_name(name: str) -> None:
    if name in _REFUSED:
        raise Malformed(_REFUSED[name])
    if name not in _RANGES and name not in {"FREQ", "BYDAY", "WKST"}:
        raise Malformed(f"{name} is not a part of a recurrence rule (RFC 5545)")


def _numbers(parts: dict[str, str], name: str) -> tuple[int, ...]:
    if name not in parts:
        return ()
    least, most, signed = _RANGES[name]
    listed = (parts[name],) if name == "INTERVAL" else parts[name].split(",")
    for number in listed:
        readable = _NUMBER.fullmatch(number) and (signed or number[0] not in "+-")
        if not readable or not least <= abs(int(number)) <= most:
            ends = f"{least} to {most}" + (f" or -{most} to -{least}" if signed else "")
            raise Malformed(f"{name}={parts[name]} needs whole numbers from {ends}")
    return tuple(int(number) for number in listed)


def _days(parts: dict[str, str]) -> tuple[tuple[int, int], ...]:
    days = []
    for day in parts["BYDAY"].split(",") if "BYDAY" in parts else ():
        match = _DAY.fullmatch(day)
        if match is None:
            raise Malformed(f"“{day}” in BYDAY is not a weekday such as MO, or 1MO in a monthly rule")
        ordinal = match[1]
        if ordinal is not None and not 1 <= abs(int(ordinal)) <= _MOST_OF_A_WEEKDAY:
            raise Malformed(f"{day} in BYDAY never falls: a month has the 1st to the 5th of a weekday")
        days.append((int(ordinal or 0), WEEKDAYS.index(match[2])))
    return tuple(days)


def _week_start(parts: dict[str, str]) -> int:
    name = parts.get("WKST", "MO")
    if name not in WEEKDAYS:
        raise Malformed(f"WKST={name} needs one of {', '.join(WEEKDAYS)}")
    return WEEKDAYS.index(name)


def _check_together(rule: Rule) -> None:
    """Refuse parts that RFC 5545 §3.3.10 does not let stand together."""
    if rule.freq != "MONTHLY" and any(ordinal for ordinal, _ in rule.days):
        raise Malformed("a numbered weekday such as 1MO in BYDAY needs FREQ=MONTHLY")
    if rule.freq == "WEEKLY" and rule.monthdays:
        raise Malformed("BYMONTHDAY cannot stand in a weekly rule")
    if rule.positions and not (rule.days or rule.months or rule.monthdays):
        raise Malformed("BYSETPOS needs another part beginning with BY beside it")
