"""Dates and minutes in words, as every room and every page says them."""

from __future__ import annotations

import re
from contextlib import suppress
from datetime import date, datetime, time, timedelta

THOUSAND = 1000
TENS = 100
"""Below so many, a size is told to the tenth."""

_WRITTEN_DATE = re.compile(r"“[^”]*”|such as [0-9-]+|\b[0-9]{4}-[0-9]{2}-[0-9]{2}\b")
_NEAR = {-1: "yesterday", 0: "today", 1: "tomorrow"}
_DAY_AND_NIGHT = timedelta(hours=30)
"""From midnight on: a household's day may go on into the next morning."""


def short_date(day: date) -> str:
    """A date within a sentence about weeks: `4 January`."""
    return f"{day.day} {day:%B}"


def long_date(day: date) -> str:
    """A date as people say it, without the year: `Wednesday 25 November`."""
    return f"{day:%A} {short_date(day)}"


def full_date(day: date) -> str:
    """A date with its year: `25 November 2026`."""
    return f"{short_date(day)} {day.year}"


def month_and_year(day: date) -> str:
    """The month a date lies in: `November 2026`."""
    return f"{day:%B} {day.year}"


def whole_date(day: date) -> str:
    """A date with its weekday and its year: `Wednesday 25 November 2026`."""
    return f"{day:%A} {full_date(day)}"


def dates_in_words(text: str) -> str:
    """A sentence whose dates are said as people say them; what is quoted or an example stays as it is."""
    return _WRITTEN_DATE.sub(_date_in_words, text)


def _date_in_words(found: re.Match[str]) -> str:
    with suppress(ValueError):
        return whole_date(date.fromisoformat(found[0]))
    return found[0]


def near_day(day: date, today: date) -> str | None:
    """`yesterday`, `today` or `tomorrow`; None for a date further off."""
    return _NEAR.get((day - today).days)


def near_date(day: date, today: date) -> str:
    """A date as one says it on a day: `tomorrow`, or `on Wednesday 25 November`."""
    return near_day(day, today) or f"on {long_date(day)}"


def moment(at: datetime, day: date) -> str:
    """When something was done that is about a day: `19:40`, or on another day `27 November`."""
    into = at.replace(tzinfo=None) - datetime.combine(day, time())
    return f"{at:%H:%M}" if timedelta() <= into < _DAY_AND_NIGHT else short_date(at.date())


def minutes_words(count: int) -> str:
    """A number of minutes."""
    return "1 minute" if count == 1 else f"{count} minutes"


def lines_words(count: int) -> str:
    """A number of lines."""
    return "1 line" if count == 1 else f"{count} lines"


def size_words(count: int) -> str:
    """A number of bytes: `640 bytes`, `84 kB`, `1.2 MB`, in thousands as disks are sold."""
    if count < THOUSAND:
        return "1 byte" if count == 1 else f"{count} bytes"
    size, unit = float(count), "bytes"
    for unit in ("kB", "MB", "GB"):  # noqa: B007  the last one stands for all that is larger
        size /= THOUSAND
        if round(size) < THOUSAND:
            break
    return f"{size:.1f} {unit}" if unit != "kB" and size < TENS else f"{size:.0f} {unit}"
