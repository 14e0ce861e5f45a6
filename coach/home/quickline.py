"""The quick line: a due, to-do or errand typed in one go, such as “renew library card fri” (home.md §5)."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from enum import StrEnum
from typing import TYPE_CHECKING

from dateutil.parser import parse
from dateutil.relativedelta import relativedelta

from coach.errors import Malformed

if TYPE_CHECKING:
    from collections.abc import Iterator

MOST_CHARACTERS = 250
_MOST_DATE_WORDS = 4
_LEADING = frozenset({"on", "by", "until", "before", "due", "next", "this"})
_NEAR = {"today": 0, "tonight": 0, "tomorrow": 1}
_WEEKDAY = r"(?:mon|tues?|wed(?:nes)?|thu(?:rs?)?|fri|sat(?:ur)?|sun)(?:day)?\.?,?"
_MONTH = (
    r"(?:jan(?:uary)?|feb(?:ruary)?|mar(?:ch)?|apr(?:il)?|may|june?|july?|aug(?:ust)?|sept?(?:ember)?|"
    r"oct(?:ober)?|nov(?:ember)?|dec(?:ember)?)\.?,?"
)
_DAY = r"\d{1,2}(?:st|nd|rd|th)?"
_YEAR = r"\d{4}"
_ISO = re.compile(r"\d{4}-\d{2}-\d{2}")
_WITH_YEAR = re.compile(rf".*\b{_YEAR}|\d{{1,2}}([/.-])\d{{1,2}}\1\d{{2,4}}", re.IGNORECASE)
_WEEKDAY_ALONE = re.compile(_WEEKDAY, re.IGNORECASE)
_DATES = re.compile(
    rf"{_WEEKDAY}"
    rf"|(?:{_WEEKDAY} )?{_DAY} (?:of )?{_MONTH}(?: {_YEAR})?"
    rf"|(?:{_WEEKDAY} )?{_MONTH} {_DAY},?(?: {_YEAR})?"
    rf"|\d{{1,2}}/\d{{1,2}}(?:/\d{{2,4}})?|\d{{1,2}}\.\d{{1,2}}\.\d{{2,4}}|\d{{1,2}}-\d{{1,2}}-\d{{4}}"
    rf"|{_ISO.pattern}",
    re.IGNORECASE,
)
_KIND = re.compile(r"(?P<kind>due|to-?do|errand|put[ -]off|later)\s*:\s*(?P<rest>.*)", re.IGNORECASE)
_PLACE = re.compile(r"(?P<title>.*\S)\s+(?:at|from|@)\s+(?:the\s+)?(?P<place>\S.*)", re.IGNORECASE)


class QuickKind(StrEnum):
    """What a quick line adds."""

    DUE = "due"
    TO_DO = "to-do"
    PUT_OFF = "put-off"
    ERRAND = "errand"


_KINDS = {
    "due": QuickKind.DUE,
    "to-do": QuickKind.TO_DO,
    "todo": QuickKind.TO_DO,
    "errand": QuickKind.ERRAND,
    "put-off": QuickKind.PUT_OFF,
    "put off": QuickKind.PUT_OFF,
    "later": QuickKind.PUT_OFF,
}


@dataclass(frozen=True, slots=True)
class QuickLine:
    """A quick line as it was understood, to be said back before it is saved.

    Attributes:
        on: The date found at its end, if any.
        place: Where an errand leads, if that is said.
    """

    kind: QuickKind
    title: str
    on: date | None = None
    place: str | None = None


def read_line(line: str, today: date, *, day_first: bool = True) -> QuickLine:
    """Read a quick line.

    A date at the end makes it a due, and no date a to-do. A word and a colon in front say otherwise: “due:”,
    “to-do:”, “errand:”, “later:” or “put off:”. An errand may end on a place after “at”, “from” or “@”.

    Args:
        line: What was typed.
        today: The household's date. A weekday means the next one from today on; a date without its year the
            next such date.
        day_first: Whether 3/4 is the third of April, rather than the fourth of March.

    Raises:
        Malformed: It says nothing to do, is too long, is due but has no date, or has one that does not exist.
    """
    text = " ".join(line.split())
    if len(text) > MOST_CHARACTERS:
        raise Malformed(f"That line has {len(text):,} characters. Keep it to {MOST_CHARACTERS}.")
    named = _KIND.fullmatch(text)
    kind = None if named is None else _KINDS[named["kind"].lower()]
    title, on = _apart(text if named is None else named["rest"], today, day_first=day_first)
    kind = kind or (QuickKind.TO_DO if on is None else QuickKind.DUE)
    if kind is QuickKind.DUE and on is None:
        raise Malformed("When is it due? End the line with a date, such as fri or 14 March.")
    place = None
    if kind is QuickKind.ERRAND and (match := _PLACE.fullmatch(title)):
        title, place = match["title"], match["place"]
    if not title:
        raise Malformed("What is to be done? Write it before the date, such as: renew library card fri.")
    return QuickLine(kind, title, on, place)


def _apart(text: str, today: date, *, day_first: bool) -> tuple[str, date | None]:
    """The title and the date at the end of a text; the longest ending that is a date counts."""
    words = text.split()
    for count in range(min(_MOST_DATE_WORDS, len(words)), 0, -1):
        ending = " ".join(words[-count:])
        if ending.lower() in _NEAR or _DATES.fullmatch(ending):
            on = _date_of(ending, today, day_first=day_first)
            return " ".join(_without_leading(words[:-count])), on
    return text, None


def _without_leading(words: list[str]) -> list[str]:
    """The words without those that lead up to a date, such as “by”; a title of nothing else stays."""
    while len(words) > 1 and words[-1].lower() in _LEADING:
        words = words[:-1]
    return words


def _date_of(ending: str, today: date, *, day_first: bool) -> date:
    near = _NEAR.get(ending.lower())
    if near is not None:
        return today + timedelta(days=near)
    if _ISO.fullmatch(ending):
        return _parsed(ending, today, day_first=False)
    if _WEEKDAY_ALONE.fullmatch(ending) or _WITH_YEAR.fullmatch(ending):
        return _parsed(ending, today, day_first=day_first)
    found = (on for on in _in_coming_years(ending, today, day_first=day_first) if on >= today)
    on = next(found, None)
    if on is None:
        raise _no_such_date(ending)
    return on


def _in_coming_years(ending: str, today: date, *, day_first: bool) -> Iterator[date]:
    """What a date without its year is in this year and the eight after, one of which is a leap year."""
    for ahead in range(9):
        new_year = date(today.year, 1, 1) + relativedelta(years=ahead)
        try:
            yield _parsed(
                f"{ending} {new_year.year}" if " " in ending else f"{ending}/{new_year.year}",
                new_year,
                day_first=day_first,
            )
        except Malformed:
            continue


def _parsed(text: str, default: date, *, day_first: bool) -> date:
    try:
        return parse(text, default=datetime.combine(default, time()), dayfirst=day_first).date()
    except (ValueError, OverflowError):
        raise _no_such_date(text) from None


def _no_such_date(text: str) -> Malformed:
    return Malformed(f"There is no date “{text}”. Write another one, such as fri, 14 March or 2027-03-14.")


def said_back(line: QuickLine) -> str:
    """What was understood, as a sentence to agree to."""
    words = {
        QuickKind.DUE: "Due",
        QuickKind.TO_DO: "To do",
        QuickKind.PUT_OFF: "Put off",
        QuickKind.ERRAND: "Errand",
    }
    place = f", at {line.place}" if line.place else ""
    on = f", on {line.on:%A} {line.on.day} {line.on:%B %Y}" if line.on else ""
    return f"{words[line.kind]}: {line.title}{place}{on}."
