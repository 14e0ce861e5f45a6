"""Weeks of months and their names against ISO 8601 as Python's `datetime.isocalendar` counts it.

Source: ISO 8601: weeks start on Monday, and week 1 of a year holds its first Thursday. A week belongs to the
month that holds its Thursday (home rules). The dates and years below follow from it.
"""

from __future__ import annotations

from calendar import THURSDAY, WEDNESDAY, monthcalendar
from datetime import date, timedelta

import pytest

from coach.ground.weeks import (
    WeekStart,
    place_in_month,
    week_name,
    week_named,
    week_of,
)

YEARS = range(2015, 2051)
FIFTY_THREE = (2015, 2020, 2026, 2032, 2037, 2043, 2048)


def every_day() -> list[date]:
    first = date(YEARS[0], 1, 1)
    return [first + timedelta(days=ahead) for ahead in range((date(YEARS[-1], 12, 31) - first).days + 1)]


def test_every_day_of_2015_to_2050_lies_in_its_iso_week() -> None:
    for day in every_day():
        week = week_of(day, WeekStart.MONDAY)
        year, number, _ = day.isocalendar()
        assert week == date.fromisocalendar(year, number, 1)
        assert week_name(week) == f"{year}-W{number:02d}"
        assert week_named(week_name(week), WeekStart.MONDAY) == week


def test_every_week_of_2015_to_2050_belongs_to_the_month_of_its_thursday() -> None:
    for day in every_day():
        year, number, _ = day.isocalendar()
        thursday = date.fromisocalendar(year, number, 4)
        place = place_in_month(week_of(day, WeekStart.MONDAY))
        assert (place.year, place.month) == (thursday.year, thursday.month)
        # The weeks of a month are as many as its Thursdays, and this one is as far among them.
        thursdays = [
            week[THURSDAY] for week in monthcalendar(thursday.year, thursday.month) if week[THURSDAY]
        ]
        assert (place.number, place.length) == (thursdays.index(thursday.day) + 1, len(thursdays))


def test_sunday_weeks_of_2015_to_2050_belong_to_the_month_of_their_wednesday() -> None:
    for day in every_day():
        week = week_of(day, WeekStart.SUNDAY)
        assert week.isoweekday() == 7
        assert week <= day < week + timedelta(days=7)
        fourth = week + timedelta(days=3)
        place = place_in_month(week)
        days = [row[WEDNESDAY] for row in monthcalendar(fourth.year, fourth.month) if row[WEDNESDAY]]
        assert (place.year, place.month) == (fourth.year, fourth.month)
        assert (place.number, place.length) == (days.index(fourth.day) + 1, len(days))
        assert week_named(week_name(week), WeekStart.SUNDAY) == week


def test_years_of_53_weeks() -> None:
    long_years = [
        year for year in YEARS if week_name(week_of(date(year, 12, 31), WeekStart.MONDAY)) == f"{year}-W53"
    ]
    assert tuple(long_years) == FIFTY_THREE


def test_months_of_five_weeks_in_2026() -> None:
    weeks = {month: week_of(date(2026, month, 15), WeekStart.MONDAY) for month in range(1, 13)}
    months = [month for month, week in weeks.items() if place_in_month(week).length == 5]
    assert months == [1, 4, 7, 10, 12]


@pytest.mark.parametrize(
    ("week", "year", "month", "number"),
    [
        ("2026-06-29", 2026, 7, 1),
        ("2026-08-31", 2026, 9, 1),
        ("2025-12-29", 2026, 1, 1),
        ("2026-12-28", 2026, 12, 5),
    ],
)
def test_weeks_at_the_turn_of_a_month(week: str, year: int, month: int, number: int) -> None:
    place = place_in_month(date.fromisoformat(week))
    assert (place.year, place.month, place.number) == (year, month, number)


@pytest.mark.parametrize(
    ("day", "name"),
    [
        ("2021-01-03", "2020-W53"),
        ("2024-12-30", "2025-W01"),
        ("2027-01-03", "2026-W53"),
        ("2027-01-04", "2027-W01"),
    ],
)
def test_days_at_the_turn_of_a_year(day: str, name: str) -> None:
    assert week_name(week_of(date.fromisoformat(day), WeekStart.MONDAY)) == name
