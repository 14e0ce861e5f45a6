from __future__ import annotations

from datetime import time

import pytest

from areas.rules.homes import day
from coach.desk.rules.quickline import QuickKind, QuickLine, read_line, said_back
from coach.errors import Malformed

WEDNESDAY = day("2026-11-25")


def read(line: str, **how: bool) -> QuickLine:
    return read_line(line, WEDNESDAY, **how)


DENTIST = day("2027-05-14")


@pytest.mark.parametrize(
    ("line", "title", "at"),
    [
        ("dentist 14 May 15:30", "dentist", "15:30"),
        ("dentist on 14 May at 15:30", "dentist", "15:30"),
        ("dentist 15:30 14 May", "dentist", "15:30"),
        ("dentist at 3:30 pm on 14 May", "dentist", "15:30"),
        ("dentist 14 May 3pm", "dentist", "15:00"),
        ("dentist 14 May 3.30pm", "dentist", "15:30"),
        ("dentist at 3.30 p.m. on 14 May", "dentist", "15:30"),
        ("dentist 8 a.m. 14 May", "dentist", "08:00"),
        ("dentist 14 May 12 am", "dentist", "00:00"),
        ("dentist 14 May 12:05 PM", "dentist", "12:05"),
        ("dentist 14 May 9:05", "dentist", "09:05"),
        ("due: dentist 2027-05-14 00:00", "dentist", "00:00"),
        ("film 20:15 14 May 15:30", "film 20:15", "15:30"),
    ],
)
def test_a_time_beside_the_date_is_the_time_of_the_due(line: str, title: str, at: str) -> None:
    assert read(line) == QuickLine(QuickKind.DUE, title, DENTIST, None, time.fromisoformat(at))


@pytest.mark.parametrize(
    "line", ["ring at 15:30", "dentist 14 May 25:00", "dentist 14 May 15:60", "dentist 14 May 15:30 pm"]
)
def test_a_time_without_a_date_beside_it_stays_in_the_words(line: str) -> None:
    assert read(line) == QuickLine(QuickKind.TO_DO, line)


def test_a_time_is_said_back_with_its_date() -> None:
    assert said_back(read("dentist 14 May 15:30")) == "Due: dentist, on Friday 14 May 2027 at 15:30."


@pytest.mark.parametrize(
    ("ending", "on"),
    [
        ("fri", "2026-11-27"),
        ("by Friday", "2026-11-27"),
        ("thurs", "2026-11-26"),
        ("tues.", "2026-12-01"),
        ("wed", "2026-11-25"),
        ("today", "2026-11-25"),
        ("tomorrow", "2026-11-26"),
        ("14 mar", "2027-03-14"),
        ("on the 14th of March", "2027-03-14"),
        ("March 14", "2027-03-14"),
        ("1 December", "2026-12-01"),
        ("25 November", "2026-11-25"),
        ("24 November", "2027-11-24"),
        ("29 feb", "2028-02-29"),
        ("Sun 14 March 2027", "2027-03-14"),
        ("3/4", "2027-04-03"),
        ("3/4/27", "2027-04-03"),
        ("3.4.2027", "2027-04-03"),
        ("2027-04-03", "2027-04-03"),
        ("by 14 mar 2020", "2020-03-14"),
    ],
)
def test_a_date_at_the_end_makes_a_due(ending: str, on: str) -> None:
    line = read(f"renew library card {ending}")
    assert (line.kind, line.title, line.on) == (QuickKind.DUE, "renew library card", day(on))


def test_the_century_of_a_short_year_is_the_households() -> None:
    assert read_line("rent 3/4/27", day("2126-11-25")).on == day("2127-04-03")


def test_the_longest_line_is_read() -> None:
    assert read("x" * 250).title == "x" * 250


def test_a_day_may_stand_after_its_month() -> None:
    assert read("car tax 3/4", day_first=False).on == day("2027-03-04")
    assert read("car tax 2027-04-03", day_first=False).on == day("2027-04-03")


@pytest.mark.parametrize(
    "line",
    ["fix the lamp", "buy 2 onions", "plant may", "read 1984", "pay 12.50", "call at 5", "fri night film"],
)
def test_without_a_date_it_is_a_to_do(line: str) -> None:
    assert read(line) == QuickLine(QuickKind.TO_DO, line)


@pytest.mark.parametrize(
    ("line", "understood"),
    [
        ("errand: stamps at the post office", QuickLine(QuickKind.ERRAND, "stamps", None, "post office")),
        ("Errand:stamps @ kiosk fri", QuickLine(QuickKind.ERRAND, "stamps", day("2026-11-27"), "kiosk")),
        ("errand: stamps", QuickLine(QuickKind.ERRAND, "stamps")),
        ("later: paint the fence", QuickLine(QuickKind.PUT_OFF, "paint the fence")),
        ("put off : paint", QuickLine(QuickKind.PUT_OFF, "paint")),
        ("to-do: look at the lamp", QuickLine(QuickKind.TO_DO, "look at the lamp")),
        ("todo: film fri", QuickLine(QuickKind.TO_DO, "film", day("2026-11-27"))),
        ("due: rent tomorrow", QuickLine(QuickKind.DUE, "rent", day("2026-11-26"))),
    ],
)
def test_a_word_in_front_says_what_it_is(line: str, understood: QuickLine) -> None:
    assert read(line) == understood


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("rent 30 feb", "no date “30 feb”"),
        ("rent 31/4", "no date “31/4”"),
        ("rent 31-2-2027", "no date “31-2-2027”"),
        ("rent 31 April 2027", "no date “31 April 2027”"),
        ("rent 0/0", "no date"),
        ("due: rent", "When is it due"),
        ("fri", "What is to be done"),
        ("by fri", "What is to be done"),
        ("errand:", "What is to be done"),
        ("   ", "What is to be done"),
        ("x" * 251, "251 characters"),
    ],
)
def test_what_cannot_be_meant_is_refused_with_a_sentence(line: str, said: str) -> None:
    with pytest.raises(Malformed, match=said):
        read(line)


def test_what_was_understood_is_said_back() -> None:
    assert said_back(read("renew library card fri")) == "Due: renew library card, on Friday 27 November 2026."
    assert said_back(read("errand: stamps at kiosk")) == "Errand: stamps, at kiosk."
    assert said_back(read("later: paint")) == "Put off: paint."
