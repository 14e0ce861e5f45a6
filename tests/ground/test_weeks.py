from __future__ import annotations

from datetime import date

import pytest

from areas.rules.homes import day
from coach.errors import Malformed
from coach.ground.weeks import (
    MonthPlace,
    WeekStart,
    days_of,
    last_day,
    place_in_month,
    week_name,
    week_named,
    week_of,
)

MONDAY, SUNDAY = WeekStart.MONDAY, WeekStart.SUNDAY


@pytest.mark.parametrize(
    ("starts", "on", "first"),
    [
        (MONDAY, "2027-01-04", "2027-01-04"),
        (MONDAY, "2027-01-10", "2027-01-04"),
        (MONDAY, "2027-01-11", "2027-01-11"),
        (SUNDAY, "2027-01-09", "2027-01-03"),
        (SUNDAY, "2027-01-10", "2027-01-10"),
    ],
)
def test_a_week_begins_on_the_households_weekday(starts: WeekStart, on: str, first: str) -> None:
    assert week_of(day(on), starts) == day(first)


def test_a_week_has_seven_days() -> None:
    week = days_of(day("2027-01-04"))
    assert len(week) == 7
    assert week[-1] == last_day(week[0]) == day("2027-01-10")


def test_a_week_belongs_to_the_month_of_its_fourth_day() -> None:
    assert place_in_month(day("2026-12-28")) == MonthPlace(2026, 12, 5, 5)  # Thursday the 31st
    assert place_in_month(day("2026-12-27")) == MonthPlace(2026, 12, 5, 5)  # Wednesday the 30th
    assert place_in_month(day("2025-12-28")) == MonthPlace(2025, 12, 5, 5)  # Wednesday the 31st
    assert place_in_month(day("2025-12-29")) == MonthPlace(2026, 1, 1, 5)  # Thursday the 1st


def test_a_monday_week_has_its_iso_name() -> None:
    assert week_name(day("2027-02-01")) == "2027-W05"
    assert week_named("2027-W05", MONDAY) == day("2027-02-01")
    assert week_named("2026-W53", MONDAY) == day("2026-12-28")


def test_a_sunday_week_has_the_name_of_the_iso_week_that_begins_the_day_after() -> None:
    assert week_name(day("2027-01-31")) == "2027-W05"
    assert week_named("2027-W05", SUNDAY) == day("2027-01-31")


@pytest.mark.parametrize("name", ["2027-5", "2027-W5", "27-W05", "2027-W05-1", "next week", "٢٠٢٧-W05", ""])
def test_a_name_that_is_none_is_refused_with_an_example(name: str) -> None:
    with pytest.raises(Malformed, match="such as 2027-W05"):
        week_named(name, MONDAY)


@pytest.mark.parametrize("name", ["2027-W53", "2027-W00", "2026-W54"])
def test_a_week_the_year_does_not_have_is_refused(name: str) -> None:
    with pytest.raises(Malformed, match="has no week"):
        week_named(name, MONDAY)


def test_the_ends_of_the_calendar_hold_no_whole_week() -> None:
    with pytest.raises(Malformed, match="calendar ends"):
        week_of(date.max, MONDAY)
    with pytest.raises(Malformed, match="calendar ends"):
        week_of(date.min, SUNDAY)
    with pytest.raises(Malformed, match="calendar ends"):
        week_named("0001-W01", SUNDAY)
    with pytest.raises(Malformed, match="calendar ends"):
        week_named("9999-W52", MONDAY)
