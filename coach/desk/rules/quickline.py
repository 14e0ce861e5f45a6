"""The quick line: a due, to-do or errand typed in one go, such as “renew library card fri” (home rules)."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from enum import StrEnum

from dateutil.parser import parse

from coach.course.direction import isolated
from coach.errors import Malformed
from coach.ground.wording import whole_date

MOST_CHARACTERS = 250
_MOST_DATE_WORDS = 4
_LEADING = frozenset({"on", "by", "until", "before", "due", "next", "this", "the"})
_NEAR = {"today": 0, "tonight": 0, "tomorrow": 1}
_WEEKDAY = r"(?:mon|tues?|wed(?:nes)?|thu(?:rs?)?|fri|sat(?:ur)?|sun)(?:day)?\.?,?"
_MONTH = (
    r"(?:jan(?:uary)?|feb(?:ruary)?|mar(?:ch)?|apr(?:il)?|may|june?|july?|aug(?:ust)?|sept?(?:ember)?|"
    r"oct(?:ober)?|nov(?:ember)?|dec(?:ember)?)\.?,?"
)
_DAY = r"[0-9]{1,2}(?:st|nd|rd|th)?"
_YEAR = r"[0-9]{4}"
_ISO = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_NUMBERS = re.compile(r"[0-9]{1,2}([/.-])[0-9]{1,2}\1([0-9]{4}|[0-9]{2})|[0-9]{1,2}/[0-9]{1,2}")
_ENDS_ON_YEAR = re.compile(rf".*\b{_YEAR}")
_WEEKDAY_ALONE = re.compile(_WEEKDAY, re.IGNORECASE)
_IN_WORDS = re.compile(
    rf"(?:{_WEEKDAY} )?(?:{_DAY} (?:of )?{_MONTH}|{_MONTH} {_DAY},?)(?: {_YEAR})?", re.IGNORECASE
)
_FORMS = (_WEEKDAY_ALONE, _IN_WORDS, _NUMBERS, _ISO)
_TIME = re.compile(
    r"(?P<hour>[01]?[0-9]|2[0-3]):(?P<minute>[0-5][0-9])|"
    r"(?P<twelve>0?[1-9]|1[0-2])(?:[:.](?P<past>[0-5][0-9]))? ?(?P<half>[ap])\.?m\.?",
    re.IGNORECASE,
)
_MOST_TIME_WORDS = 2
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
        at: The time found beside that date, if any.
    """

    kind: QuickKind
    title: str
    on: date | None = None
    place: str | None = None
    at: time | None = None


def read_line(line: str, today: date, *, day_first: bool = True) -> QuickLine:
    """Read a quick line.

    A date at the end makes it a due, and no date a to-do. A word and a colon in front say otherwise: “due:”,
    “to-do:”, “errand:”, “later:” or “put off:”. A time of day beside the date, such as 15:30 or 3:30 pm, is
    its time; one without a date is a part of the words. An errand may end on a place after “at”, “from” or
    “@”.

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
    title, on, at = _apart(text if named is None else named["rest"], today, day_first=day_first)
    kind = kind or (QuickKind.TO_DO if on is None else QuickKind.DUE)
    if kind is QuickKind.DUE and on is None:
        raise Malformed("When is it due? End the line with a date, such as fri or 14 March.")
    place = None
    if kind is QuickKind.ERRAND and (match := _PLACE.fullmatch(title)):
        title, place = match["title"], match["place"]
    if not title:
        raise Malformed("What is to be done? Write it before the date, such as: renew library card fri.")
    return QuickLine(kind, title, on, place, at)


def _apart(text: str, today: date, *, day_first: bool) -> tuple[str, date | None, time | None]:
    """The title, and the date at the end of a text with the time before or after it."""
    words, at = _without_time(text.split())
    title, on = _without_date(words, today, day_first=day_first)
    if on is None:
        return text, None, None
    if at is None:
        title, at = _without_time(title)
    return " ".join(title), on, at


def _without_time(words: list[str]) -> tuple[list[str], time | None]:
    """The words before a time of day at their end, without an “at” in front of it, and that time."""
    for count in range(min(_MOST_TIME_WORDS, len(words)), 0, -1):
        if match := _TIME.fullmatch(" ".join(words[-count:])):
            before = words[:-count]
            return before[:-1] if before and before[-1].lower() == "at" else before, _time_of(match)
    return words, None


def _time_of(match: re.Match[str]) -> time:
    if match["half"] is None:
        return time(int(match["hour"]), int(match["minute"]))
    afternoon = 12 if match["half"].lower() == "p" else 0
    return time(int(match["twelve"]) % 12 + afternoon, int(match["past"] or 0))


def _without_date(words: list[str], today: date, *, day_first: bool) -> tuple[list[str], date | None]:
    """The words before the date at their end, and that date; the longest ending that is a date counts."""
    for count in range(min(_MOST_DATE_WORDS, len(words)), 0, -1):
        ending = " ".join(words[-count:])
        if ending.lower() in _NEAR or any(form.fullmatch(ending) for form in _FORMS):
            on = _date_of(ending, today, day_first=day_first)
            return _without_leading(words[:-count]), on
    return words, None


def _without_leading(words: list[str]) -> list[str]:
    """The words without those that only lead up to a date, such as “by”."""
    while words and words[-1].lower() in _LEADING:
        words = words[:-1]
    return words


def _date_of(ending: str, today: date, *, day_first: bool) -> date:
    near = _NEAR.get(ending.lower())
    if near is not None:
        return today + timedelta(days=near)
    if _WEEKDAY_ALONE.fullmatch(ending):
        # The library knows “thu” and “thursday” but not “thurs”.
        return _parsed(ending[:3], today, day_first=day_first)
    if _ISO.fullmatch(ending):
        return _parsed(ending, today, day_first=False)
    if numbers := _NUMBERS.fullmatch(ending):
        ending, has_year = _with_whole_year(ending, numbers[2], today), numbers[2] is not None
    else:
        has_year = _ENDS_ON_YEAR.fullmatch(ending) is not None
    if has_year:
        return _parsed(ending, today, day_first=day_first)
    return _next_one(ending, today, day_first=day_first)


def _with_whole_year(numbers: str, year: str | None, today: date) -> str:
    """A date in numbers with the century of today; the library would take the machine's clock for it."""
    if year is None or len(year) > len("27"):
        return numbers
    return f"{numbers[: -len(year)]}{today.year // 100}{year}"


def _next_one(ending: str, today: date, *, day_first: bool) -> date:
    """The next date of that day and month, this year or in the eight after, one of which is a leap year."""
    for year in range(today.year, today.year + 9):
        try:
            on = _parsed(f"{ending} {year}", today, day_first=day_first)
        except Malformed:
            continue
        if on >= today:
            return on
    raise _no_such_date(ending)


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
    place = f", at {isolated(line.place)}" if line.place else ""
    on = f", on {whole_date(line.on)}" if line.on else ""
    on = f"{on} at {line.at:%H:%M}" if line.at else on
    return f"{words[line.kind]}: {isolated(line.title)}{place}{on}."
