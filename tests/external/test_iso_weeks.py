"""Jobs that fall every other week keep to ISO 8601 weeks, through years of 53 of them too.

Source: ISO 8601 (a week begins on Monday, week 1 holds the first Thursday). The years with 53 weeks and
the dates are those of the project's facts; RFC 5545 counts a rule's weeks from Monday unless told otherwise.
"""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from coach.course.recurrence import falls

LONG_YEARS = [2015, 2020, 2026, 2032, 2037, 2043, 2048]
EVERY_OTHER_TUESDAY = "FREQ=WEEKLY;INTERVAL=2;BYDAY=TU"
EVERY_OTHER_SUNDAY = "FREQ=WEEKLY;INTERVAL=2;BYDAY=SU"


def weeks(rule: str, start: date, days: int) -> list[tuple[int, int]]:
    """ISO year and week of every date on which a rule falls."""
    dates = (start + timedelta(days=number) for number in range(days))
    return [on.isocalendar()[:2] for on in dates if falls(rule, start, on)]


@pytest.mark.parametrize("year", LONG_YEARS)
def test_a_fortnightly_job_passes_over_week_53_into_the_next_year(year: int) -> None:
    start = date.fromisocalendar(year, 50, 3)  # a Wednesday: Tuesday of that week has gone
    expected = [(year, 52), (year + 1, 1), (year + 1, 3)]
    assert weeks(EVERY_OTHER_TUESDAY, start, 45) == expected


@pytest.mark.parametrize("year", sorted(set(range(2015, 2050)) - set(LONG_YEARS)))
def test_in_a_year_of_52_weeks_it_goes_on_with_the_second_week(year: int) -> None:
    start = date.fromisocalendar(year, 50, 3)
    assert weeks(EVERY_OTHER_TUESDAY, start, 45) == [(year, 52), (year + 1, 2), (year + 1, 4)]


@pytest.mark.parametrize(
    ("sunday", "week"),
    [(date(2021, 1, 3), (2020, 53)), (date(2027, 1, 3), (2026, 53)), (date(2024, 12, 29), (2024, 52))],
)
def test_a_sunday_belongs_to_the_week_that_began_on_the_monday_before(
    sunday: date, week: tuple[int, int]
) -> None:
    monday = sunday - timedelta(days=6)
    assert weeks(EVERY_OTHER_SUNDAY, monday, 8) == [week]
    assert weeks(EVERY_OTHER_SUNDAY, sunday + timedelta(days=1), 14)[0] != week


def test_a_job_that_comes_on_a_monday_has_its_sunday_in_the_same_week() -> None:
    assert date(2027, 1, 4).isocalendar() == (2027, 1, 1)
    assert weeks(EVERY_OTHER_SUNDAY, date(2027, 1, 4), 21) == [(2027, 1), (2027, 3)]
