"""Recurrences against RFC 5545: the examples of §3.8.5.3, and a plain reading of §3.3.10 day by day.

Source: B. Desruisseaux (ed.), RFC 5545, Internet Calendaring and Scheduling Core Object Specification, 2009,
https://www.rfc-editor.org/rfc/rfc5545. The examples begin at 09:00 in New York; only their dates are used.
"""

from __future__ import annotations

from calendar import monthrange
from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from coach.course.recurrence import falls, next_fall, rule_fault
from coach.course.rule import WEEKDAYS

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

EXAMPLES = [
    (
        "FREQ=WEEKLY;INTERVAL=2;WKST=SU;BYDAY=TU,TH",
        "1997-09-02",
        "1997-09-02 09-04 09-16 09-18 09-30 10-02 10-14 10-16",
    ),
    ("FREQ=MONTHLY;BYDAY=1FR", "1997-09-05", "1997-09-05 10-03 11-07 12-05 1998-01-02 02-06"),
    (
        "FREQ=MONTHLY;INTERVAL=2;BYDAY=1SU,-1SU",
        "1997-09-07",
        "1997-09-07 09-28 11-02 11-30 1998-01-04 01-25 03-01 03-29 05-03 05-31",
    ),
    ("FREQ=MONTHLY;BYDAY=-2MO", "1997-09-22", "1997-09-22 10-20 11-17 12-22 1998-01-19 02-16"),
    ("FREQ=WEEKLY;INTERVAL=2;BYDAY=TU,SU;WKST=MO", "1997-08-05", "1997-08-05 08-10 08-19 08-24"),
    ("FREQ=WEEKLY;INTERVAL=2;BYDAY=TU,SU;WKST=SU", "1997-08-05", "1997-08-05 08-17 08-19 08-31"),
    ("FREQ=MONTHLY;BYDAY=TU,WE,TH;BYSETPOS=3", "1997-09-04", "1997-09-04 10-07 11-06"),
    ("FREQ=MONTHLY;BYMONTHDAY=15,30", "2007-01-15", "2007-01-15 01-30 02-15 03-15 03-30"),
]


def dates_of(text: str) -> list[date]:
    """Dates with the year left out where it stays the same."""
    found: list[date] = []
    for day in text.split():
        year = "" if day.count("-") == 2 else f"{found[-1].year}-"
        found.append(date.fromisoformat(year + day))
    return found


@pytest.mark.parametrize(("rule", "start", "listed"), EXAMPLES)
def test_the_examples_of_section_3_8_5_3(rule: str, start: str, listed: str) -> None:
    expected, begin = dates_of(listed), date.fromisoformat(start)
    assert rule_fault(rule) is None
    days = [begin + timedelta(days=ahead) for ahead in range((expected[-1] - begin).days + 1)]
    assert [day for day in days if falls(rule, begin, day)] == expected


@pytest.mark.parametrize(("rule", "start", "listed"), EXAMPLES)
def test_the_next_date_is_the_next_of_the_examples(rule: str, start: str, listed: str) -> None:
    expected, begin = dates_of(listed), date.fromisoformat(start)
    found = [begin]
    while len(found) < len(expected):
        found.append(next_fall(rule, begin, found[-1]) or date.max)
    assert found == expected


# A second reading of §3.3.10, slow and plain: a day is an occurrence if its period (day, week, month) is one
# of those counted from the start, and the day is in the set that the BY parts make of that period.


@dataclass(frozen=True)
class Parts:
    """A rule part by part; days are (ordinal or 0, weekday with Monday 0)."""

    freq: str
    interval: int
    week_start: int
    months: list[int]
    monthdays: list[int]
    days: list[tuple[int, int]]
    positions: list[int]

    def __str__(self) -> str:
        days = [f"{number or ''}{WEEKDAYS[day]}" for number, day in self.days]
        lists: dict[str, Sequence[object]] = {
            "BYMONTH": self.months,
            "BYMONTHDAY": self.monthdays,
            "BYDAY": days,
            "BYSETPOS": self.positions,
        }
        written = [f"{name}={','.join(map(str, values))}" for name, values in lists.items() if values]
        return ";".join(
            [f"FREQ={self.freq}", f"INTERVAL={self.interval}", f"WKST={WEEKDAYS[self.week_start]}", *written]
        )


def period(parts: Parts, day: date) -> tuple[int, list[date]]:
    """The number of the period that holds a day, and all its days."""
    if parts.freq == "MONTHLY":
        days = [day.replace(day=number) for number in range(1, monthrange(day.year, day.month)[1] + 1)]
        return day.year * 12 + day.month, days
    if parts.freq == "WEEKLY":
        week = [day + timedelta(days=ahead) for ahead in range(-6, 1)]
        begins = next(other for other in week if other.weekday() == parts.week_start)
        return begins.toordinal() // 7, [begins + timedelta(days=ahead) for ahead in range(7)]
    return day.toordinal(), [day]


def periods(parts: Parts, start: date, end: date) -> Iterator[list[date]]:
    """The days of every period that touches the days from `start` to before `end`."""
    while start < end:
        _, days = period(parts, start)
        yield days
        start = days[-1] + timedelta(days=1)


def is_limited_to(parts: Parts, day: date, start: date) -> bool:
    """Whether a day passes BYMONTH, BYMONTHDAY and BYDAY, or what the start says in their place."""
    length = monthrange(day.year, day.month)[1]
    monthdays, weekdays = parts.monthdays, parts.days
    if parts.freq == "MONTHLY" and not (monthdays or weekdays):
        monthdays = [start.day]
    if parts.freq == "WEEKLY" and not weekdays:
        weekdays = [(0, start.weekday())]
    ordinals = {0, (day.day - 1) // 7 + 1, -((length - day.day) // 7 + 1)}
    return (
        (not parts.months or day.month in parts.months)
        and (not monthdays or bool({day.day, day.day - length - 1} & set(monthdays)))
        and (not weekdays or any(day.weekday() == weekday and n in ordinals for n, weekday in weekdays))
    )


def chosen(parts: Parts, start: date, days: list[date]) -> list[date]:
    """The days of one period on which the rule falls."""
    found = [day for day in days if is_limited_to(parts, day, start)]
    if parts.positions:
        places = [place - 1 if place > 0 else len(found) + place for place in parts.positions]
        found = [found[place] for place in places if 0 <= place < len(found)]
    return found


def is_occurrence(parts: Parts, start: date, day: date) -> bool:
    (first, _), (number, days) = period(parts, start), period(parts, day)
    return day >= start and (number - first) % parts.interval == 0 and day in chosen(parts, start, days)


def few(values: st.SearchStrategy[Any], most: int = 3) -> st.SearchStrategy[list[Any]]:
    return st.lists(values, max_size=most, unique=True)


@st.composite
def all_parts(draw: st.DrawFn) -> Parts:
    freq = draw(st.sampled_from(["DAILY", "WEEKLY", "MONTHLY"]))
    numbers = st.integers(-5, 5) if freq == "MONTHLY" else st.just(0)
    signed = st.integers(1, 31) | st.integers(-31, -1)
    months, days = draw(few(st.integers(1, 12))), draw(few(st.tuples(numbers, st.integers(0, 6))))
    monthdays = [] if freq == "WEEKLY" else draw(few(signed))
    positions = draw(few(st.integers(-4, 4).filter(bool), most=2)) if months or days or monthdays else []
    return Parts(freq, draw(st.integers(1, 4)), draw(st.integers(0, 6)), months, monthdays, days, positions)


@given(all_parts(), st.dates(date(1997, 1, 1), date(2050, 1, 1)), st.integers(0, 1500))
@settings(max_examples=300)
def test_dates_are_those_of_a_plain_reading_of_section_3_3_10(parts: Parts, start: date, ahead: int) -> None:
    assume(rule_fault(str(parts)) is None)
    days = [start + timedelta(days=number) for number in range(ahead, ahead + 100)]
    assert [day for day in days if falls(str(parts), start, day)] == [
        day for day in days if is_occurrence(parts, start, day)
    ]


@given(all_parts())
@settings(max_examples=100)
def test_a_rule_is_refused_as_never_falling_only_if_it_never_does(parts: Parts) -> None:
    """Twenty-eight years from 2001 hold every kind of year, and 2001-01-01 is a Monday and a first."""
    start = date(2001, 1, 1)
    never = not any(chosen(parts, start, days) for days in periods(parts, start, date(2029, 1, 1)))
    fault = rule_fault(str(parts))
    assert (fault is not None and "never falls" in fault) == never
