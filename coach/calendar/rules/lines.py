"""The lines of a calendar as RFC 5545 writes them: texts escaped, long lines folded, each event by itself."""

from __future__ import annotations

import re
from datetime import UTC
from functools import lru_cache
from typing import TYPE_CHECKING

from coach.calendar.rules.entries import APPOINTMENT
from coach.progress.days import ONE_DAY

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import date, datetime

    from coach.calendar.rules.entries import Calendar, Entry

LONGEST = 75
"""Octets of a line without its end (RFC 5545 §3.1)."""

REFRESH = "PT4H"
"""How often a program is asked to look again: several times a day, and not with every glance."""

END = "\r\n"
_FOLD = "\r\n "
# Controls, and what some programs take for the end of a line (NEL, line and paragraph separators).
_ENDS = re.compile("\r\n|[\n\r\x85\u2028\u2029]")
_UNSEEN = re.compile("[\x00-\x09\x0b-\x1f\x7f-\x9f\ud800-\udfff\ufffe\uffff]")
_ESCAPED = str.maketrans({"\\": "\\\\", ";": "\\;", ",": "\\,", "\n": "\\n"})
_A_DATE = 10
_CONTINUES, _LEADS = 0xC0, 0x80


def escaped(text: str) -> str:
    """A text as the value of a property; what is no character of a text is a space."""
    return _UNSEEN.sub(" ", _ENDS.sub("\n", text)).translate(_ESCAPED)


def folded(line: str) -> str:
    """A line in parts of at most 75 octets, cut between characters, and not within an escape."""
    whole = line.encode()
    if len(whole) <= LONGEST:
        return line
    parts, at, most = [], 0, LONGEST
    while len(whole) - at > most:
        cut = _cut(whole, at, at + most)
        parts.append(whole[at:cut].decode())
        # The space that goes before what follows is an octet of its line.
        at, most = cut, LONGEST - 1
    parts.append(whole[at:].decode())
    return _FOLD.join(parts)


def _cut(whole: bytes, first: int, last: int) -> int:
    """The last place not after `last` that is between two characters."""
    while whole[last] & _CONTINUES == _LEADS:
        last -= 1
    slashes = last - first - len(whole[first:last].rstrip(b"\\"))
    return last - 1 if slashes % 2 else last


def instant(at: datetime) -> str:
    """An instant in UTC: 20270109T083000Z."""
    return f"{at.astimezone(UTC):%Y%m%dT%H%M%SZ}"


def calendar_text(calendar: Calendar) -> str:
    """The whole calendar, each line ended as it goes over a wire."""
    return "".join((_head(calendar), *_events(calendar), "END:VCALENDAR\r\n"))


def _head(calendar: Calendar) -> str:
    name = escaped(calendar.name)
    lines = [
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        "PRODID:-//Steading//coach//EN",
        "CALSCALE:GREGORIAN",
        f"NAME:{name}",
        # What programs read that do not know NAME and REFRESH-INTERVAL of RFC 7986 yet.
        f"X-WR-CALNAME:{name}",
        f"REFRESH-INTERVAL;VALUE=DURATION:{REFRESH}",
        f"X-PUBLISHED-TTL:{REFRESH}",
        f"LAST-MODIFIED:{instant(calendar.changed)}",
        f"X-STEADING-VERSION:{calendar.version}",
        *([f"URL:{calendar.address}"] if calendar.address else []),
    ]
    return "".join(folded(line) + END for line in lines)


def _events(calendar: Calendar) -> Iterator[str]:
    for entry in calendar.entries:
        yield from _events_of(entry, calendar.household)


def _events_of(entry: Entry, household: str) -> Iterator[str]:
    """The events of an entry, which differ in their dates alone: all else is written once."""
    before, after = f"UID:{entry.kind}-{escaped(entry.id)}-", f"@{escaped(household)}"
    fits = len(before.encode()) + _A_DATE + len(after.encode()) <= LONGEST
    at, tail = instant(entry.changed), _tail(entry)
    stamps = f"{END}DTSTAMP:{at}{END}LAST-MODIFIED:{at}{END}"
    first, middle = f"BEGIN:VEVENT{END}{before}", f"{after}{stamps}"
    for place, day in enumerate(entry.dates):
        when = _times(entry.begins[place]) if entry.begins else _all_day(day)
        if fits:
            yield f"{first}{_written(day)}{middle}{when}{tail}"
        else:
            uid = folded(f"{before}{_written(day)}{after}")
            yield f"BEGIN:VEVENT{END}{uid}{stamps}{when}{tail}"


def _tail(entry: Entry) -> str:
    lines = [folded(f"SUMMARY:{escaped(entry.title)}")]
    if entry.text:
        lines.append(folded(f"DESCRIPTION:{escaped(entry.text)}"))
    # It takes up nobody's time: whoever asks a calendar when somebody is free is not told of the linen.
    return "".join(line + END for line in (*lines, "TRANSP:TRANSPARENT", "END:VEVENT"))


def _times(begins: datetime) -> str:
    return f"DTSTART:{instant(begins)}{END}DTEND:{instant(begins + APPOINTMENT)}{END}"


@lru_cache(maxsize=1024)
def _written(day: date) -> str:
    return day.isoformat()


@lru_cache(maxsize=1024)
def _all_day(day: date) -> str:
    """A whole date; its end is the date after it, which does not belong to it any more."""
    return f"DTSTART;VALUE=DATE:{_compact(day)}{END}DTEND;VALUE=DATE:{_compact(day + ONE_DAY)}{END}"


def _compact(day: date) -> str:
    return day.isoformat().replace("-", "")
