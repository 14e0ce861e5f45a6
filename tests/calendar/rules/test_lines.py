"""The lines of a calendar: escaped, folded at 75 octets, ended as RFC 5545 asks, and what is in them."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from icalendar import Calendar as Read
from icalendar import Event

from coach.calendar.rules.entries import Calendar, Entry
from coach.calendar.rules.lines import LONGEST, calendar_text, escaped, folded

AT = datetime(2027, 1, 4, 7, 30, tzinfo=UTC)
DAY = date(2027, 1, 9)
SCRIPTS = ("Wäsche 🧺 שבת 洗濯 ", "Πλύσιμο ρούχων ", "ملاءات ", "a" * 40, "👩‍👩‍👧 ", "\\;,")


def entry(**other: object) -> Entry:
    values: dict[str, object] = {
        "kind": "jobs",
        "id": "linen",
        "title": "Linen",
        "text": "",
        "changed": AT,
        "dates": (DAY,),
    }
    return Entry(**(values | other))  # type: ignore[arg-type]  # as an entry takes them


def text_of(*entries: Entry, name: str = "Ana") -> str:
    return calendar_text(Calendar("home", name, AT, 7, entries))


def event_of(one: Entry) -> Event:
    [event] = Read.from_ical(text_of(one)).walk("VEVENT")
    assert isinstance(event, Event)
    return event


def test_a_calendar_says_what_it_is_and_how_often_to_look() -> None:
    lines = text_of(name="Ana; at home").split("\r\n")
    assert lines[:4] == [
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        "PRODID:-//Steading//coach//EN",
        "CALSCALE:GREGORIAN",
    ]
    assert {"NAME:Ana\\; at home", "X-WR-CALNAME:Ana\\; at home"} <= set(lines)
    assert {"REFRESH-INTERVAL;VALUE=DURATION:PT4H", "X-PUBLISHED-TTL:PT4H"} <= set(lines)
    assert {"LAST-MODIFIED:20270104T073000Z", "X-STEADING-VERSION:7"} <= set(lines)
    assert lines[-2:] == ["END:VCALENDAR", ""]


def test_every_date_is_a_whole_day_of_its_own_that_takes_up_nobodys_time() -> None:
    text = text_of(entry(dates=(DAY, DAY + timedelta(days=7))))
    assert text.split("BEGIN:VEVENT\r\n")[1] == (
        "UID:jobs-linen-2027-01-09@home\r\nDTSTAMP:20270104T073000Z\r\nLAST-MODIFIED:20270104T073000Z\r\n"
        "DTSTART;VALUE=DATE:20270109\r\nDTEND;VALUE=DATE:20270110\r\nSUMMARY:Linen\r\n"
        "TRANSP:TRANSPARENT\r\nEND:VEVENT\r\n"
    )
    assert text.count("BEGIN:VEVENT") == 2
    assert not any(word in text for word in ("RRULE", "VTIMEZONE", "VALARM", "ATTENDEE", "ORGANIZER"))


def test_what_has_a_time_begins_at_an_instant_and_lasts_half_an_hour() -> None:
    event = event_of(entry(kind="dues", begins=(datetime(2027, 1, 9, 23, 45, tzinfo=UTC),)))
    assert event.decoded("dtstart") == datetime(2027, 1, 9, 23, 45, tzinfo=UTC)
    assert event.decoded("dtend") == datetime(2027, 1, 10, 0, 15, tzinfo=UTC)


def test_an_identity_too_long_for_a_line_is_folded_and_stays_whole() -> None:
    long = "ä" * 60
    text = text_of(entry(id=long))
    assert max(len(line.encode()) for line in text.split("\r\n")) <= LONGEST
    [event] = Read.from_ical(text).walk("VEVENT")
    assert str(event["uid"]) == f"jobs-{long}-2027-01-09@home"


@pytest.mark.parametrize(
    ("typed", "written"),
    [
        ("a\\b", "a\\\\b"),
        ("a;b,c", "a\\;b\\,c"),
        ("a\nb\r\nc\rd", "a\\nb\\nc\\nd"),
        ("a\u2028b\x85c", "a\\nb\\nc"),
        ("a\x00b\x1bc\x7fd\ud800e\tf", "a b c d e f"),
        ("BEGIN:VEVENT\r\nEND:VCALENDAR", "BEGIN:VEVENT\\nEND:VCALENDAR"),
    ],
)
def test_what_has_a_meaning_of_its_own_is_escaped_and_what_is_no_text_is_a_space(
    typed: str, written: str
) -> None:
    assert escaped(typed) == written


def test_a_backslash_and_an_n_that_somebody_typed_stay_what_they_are() -> None:
    # Version 7.3.2 of icalendar writes the two as the end of a line: one reason why these lines are our own.
    assert escaped("C:\\New") == "C:\\\\New"
    assert str(event_of(entry(title="C:\\new"))["summary"]) == "C:\\new"


WORDS = st.text(st.characters(exclude_categories=["Cs"]), max_size=200) | st.lists(
    st.sampled_from(SCRIPTS), max_size=20
).map("".join)


@given(WORDS, WORDS, WORDS)
def test_no_line_is_longer_than_75_octets_whatever_script_it_is_in(title: str, text: str, name: str) -> None:
    whole = text_of(entry(title=title, text=text), name=name)
    lines = whole.encode().split(b"\r\n")
    assert max(map(len, lines)) <= LONGEST
    assert not any(byte < 0x20 for line in lines for byte in line)
    for line in lines:
        line.decode()


@given(WORDS)
def test_what_is_written_is_what_icalendar_reads_back(title: str) -> None:
    found = str(event_of(entry(title=f"x{title}"))["summary"])
    assert escaped(found) == escaped(f"x{title}")


@given(WORDS)
def test_texts_are_written_as_icalendar_writes_them(title: str) -> None:
    plain = title.replace("\\", "")
    shown = "".join(letter if letter.isprintable() else " " for letter in plain)
    ours = folded(f"SUMMARY:{escaped(shown)}").replace("\r\n ", "")
    theirs = Event()
    theirs.add("summary", shown)
    [written] = [
        line
        for line in theirs.to_ical().decode().replace("\r\n ", "").split("\r\n")
        if line.startswith("SUMMARY")
    ]
    assert ours == written


def test_a_fold_never_parts_an_escape() -> None:
    for long in range(60, 80):
        for part in folded("SUMMARY:" + "a" * long + "\\;" * 5).split("\r\n "):
            tail = len(part) - len(part.rstrip("\\"))
            assert tail % 2 == 0
