"""How often something is due: the choices people have, as RFC 5545 rules, and rules in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.course.rule import WEEKDAYS
from coach.course.rule_words import in_words
from coach.errors import Malformed
from coach.ground.wording import short_date

if TYPE_CHECKING:
    from datetime import date

CHOICES = {
    "once": "Once",
    "weekly": "Every week",
    "monthly": "Every month",
    "quarterly": "Every three months",
    "half-yearly": "Every six months",
    "yearly": "Every year",
}
AS_IS = "as-is"
_MONTHS = {"monthly": 1, "quarterly": 3, "half-yearly": 6}
_EVERY = {1: "every month", 3: "every three months", 6: "every six months"}
_LEAP_DAY = (2, 29)
_IN_EVERY_MONTH = 28


def rule_for(choice: str, on: date) -> str | None:
    """The rule of a choice from a date on; None for a single date.

    Where a month has no such day, its last one takes the place: a bill of the 31st comes every month.

    Raises:
        Malformed: There is no such choice.
    """
    if choice == "once":
        return None
    if choice == "weekly":
        return f"FREQ=WEEKLY;BYDAY={WEEKDAYS[on.weekday()]}"
    if choice in _MONTHS:
        every = f";INTERVAL={_MONTHS[choice]}" if _MONTHS[choice] > 1 else ""
        return f"FREQ=MONTHLY{every};{_month_day(on.day)}"
    if choice == "yearly":
        day = _month_day(on.day) if (on.month, on.day) == _LEAP_DAY else f"BYMONTHDAY={on.day}"
        return f"FREQ=YEARLY;BYMONTH={on.month};{day}"
    raise Malformed(f"“{choice[:40]}” is not one of {', '.join(CHOICES)}.")


def _month_day(day: int) -> str:
    if day <= _IN_EVERY_MONTH:
        return f"BYMONTHDAY={day}"
    days = ",".join(str(one) for one in range(_IN_EVERY_MONTH, day + 1))
    return f"BYMONTHDAY={days};BYSETPOS=-1"


def choice_of(rule: str | None, on: date) -> str:
    """The choice that a rule is; `as-is` for one that none of them makes."""
    return next((choice for choice in CHOICES if rule_for(choice, on) == rule), AS_IS)


def repeats_text(rule: str | None, on: date) -> str:
    """A rule in words; empty for a single date."""
    choice = choice_of(rule, on)
    if rule is None:
        return ""
    if choice == "weekly":
        return f"every {on:%A}"
    if choice in _MONTHS:
        short = ", or on the last day of a shorter month" if on.day > _IN_EVERY_MONTH else ""
        return f"{_EVERY[_MONTHS[choice]]} on day {on.day}{short}"
    if choice == "yearly":
        short = ", or on the 28th" if (on.month, on.day) == _LEAP_DAY else ""
        return f"every year on {short_date(on)}{short}"
    return _other(rule)


def _other(rule: str) -> str:
    if "FREQ=YEARLY" not in rule.upper():
        return in_words(rule)
    parts = rule.upper().split(";")
    every = next((part.partition("=")[2] for part in parts if part.startswith("INTERVAL=")), "1")
    rest = [part for part in parts if not part.startswith(("FREQ=", "INTERVAL="))]
    years = "every year" if every == "1" else f"every {every} years"
    return f"{years}, {in_words(';'.join(['FREQ=MONTHLY', *rest]))}" if rest else years
