"""A job moved to another day comes as often as before, on that day."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.course.recurrence import falls, rule_fault
from coach.course.rule import WEEKDAYS, rule_of
from coach.ground.weeks import WeekStart, days_of, week_of
from coach.week.rules.moving import days_within, moved, rule_text

START = date(2027, 1, 6)  # a Wednesday
SATURDAY, TUESDAY, FRIDAY = date(2027, 1, 30), date(2027, 1, 26), date(2027, 1, 29)
MONDAY = date(2027, 1, 25)
WEEKS_LOOKED_AT = 60

WEEKLY = st.builds(
    lambda weekday, interval, week_start: (
        f"FREQ=WEEKLY;INTERVAL={interval};BYDAY={weekday};WKST={week_start}"
    ),
    st.sampled_from(WEEKDAYS),
    st.integers(1, 6),
    st.sampled_from(("MO", "SU")),
)
MONTHLY = st.builds(
    lambda ordinal, weekday, interval: f"FREQ=MONTHLY;INTERVAL={interval};BYDAY={ordinal}{weekday}",
    st.sampled_from((1, 2, 3, 4, -1, -2)),
    st.sampled_from(WEEKDAYS),
    st.integers(1, 4),
)
STARTS = st.dates(date(2026, 1, 1), date(2028, 12, 31))


def falling(rule: str, start: date, days: int) -> list[date]:
    return [day for ahead in range(days) if falls(rule, start, day := start + timedelta(days=ahead))]


@pytest.mark.parametrize(
    ("rule", "day", "to", "expected"),
    [
        ("FREQ=WEEKLY;BYDAY=SA", SATURDAY, TUESDAY, "FREQ=WEEKLY;BYDAY=TU"),
        ("FREQ=WEEKLY", date(2027, 1, 27), TUESDAY, "FREQ=WEEKLY;BYDAY=TU"),
        ("FREQ=WEEKLY;INTERVAL=3;BYDAY=SA", SATURDAY, TUESDAY, "FREQ=WEEKLY;INTERVAL=3;BYDAY=TU"),
        ("FREQ=WEEKLY;BYMONTH=1,2;BYDAY=SA", SATURDAY, TUESDAY, "FREQ=WEEKLY;BYMONTH=1,2;BYDAY=TU"),
        ("FREQ=MONTHLY;BYDAY=-1SA", SATURDAY, TUESDAY, "FREQ=MONTHLY;BYDAY=-1TU"),
        ("FREQ=MONTHLY;BYDAY=5SA", SATURDAY, FRIDAY, "FREQ=MONTHLY;BYDAY=5FR"),
        ("FREQ=MONTHLY;BYDAY=5SA", SATURDAY, TUESDAY, "FREQ=MONTHLY;BYDAY=-1TU"),
        ("FREQ=MONTHLY;BYDAY=-5SA", date(2027, 5, 1), date(2027, 5, 4), "FREQ=MONTHLY;BYDAY=1TU"),
        ("FREQ=MONTHLY;BYDAY=1WE", date(2027, 9, 1), date(2027, 8, 31), "FREQ=MONTHLY;BYDAY=-1TU"),
        ("FREQ=MONTHLY;BYDAY=-1SU", date(2027, 1, 31), date(2027, 2, 1), "FREQ=MONTHLY;BYDAY=1MO"),
        ("FREQ=MONTHLY;BYDAY=-1WE", date(2027, 3, 31), date(2027, 4, 2), "FREQ=MONTHLY;BYDAY=1FR"),
        (
            "FREQ=MONTHLY;BYMONTH=3,12;BYDAY=-1WE",
            date(2027, 3, 31),
            date(2027, 4, 2),
            "FREQ=MONTHLY;BYMONTH=4,1;BYDAY=1FR",
        ),
        ("FREQ=MONTHLY;BYMONTHDAY=31", date(2027, 3, 31), date(2027, 4, 2), "FREQ=MONTHLY;BYMONTHDAY=2"),
        ("FREQ=MONTHLY;BYMONTHDAY=30", SATURDAY, TUESDAY, "FREQ=MONTHLY;BYMONTHDAY=26"),
        ("FREQ=MONTHLY", date(2027, 2, 6), date(2027, 2, 2), "FREQ=MONTHLY;BYMONTHDAY=2"),
        ("FREQ=MONTHLY;BYDAY=1SA,3WE", date(2027, 2, 6), date(2027, 2, 2), "FREQ=MONTHLY;BYDAY=1TU,3WE"),
    ],
)
def test_a_rule_gets_the_other_day_and_keeps_the_rest(rule: str, day: date, to: date, expected: str) -> None:
    assert moved(rule, START, day, to) == expected


@pytest.mark.parametrize(
    ("rule", "day", "to", "begins"),
    [
        ("FREQ=WEEKLY;INTERVAL=2;BYDAY=SA", date(2027, 1, 9), date(2027, 1, 13), "20261228"),
        ("FREQ=WEEKLY;INTERVAL=3;BYDAY=TU", date(2027, 1, 26), date(2027, 1, 20), "20261228"),
        ("FREQ=MONTHLY;INTERVAL=3;BYDAY=-1SA", date(2027, 1, 30), date(2027, 2, 2), "20261101"),
        ("FREQ=MONTHLY;INTERVAL=5;BYMONTHDAY=31", date(2027, 1, 31), date(2027, 2, 1), "20260901"),
        ("FREQ=MONTHLY;INTERVAL=5;BYDAY=1MO", date(2027, 11, 1), date(2027, 10, 26), "20261201"),
    ],
)
def test_where_nothing_else_will_do_a_rule_counts_from_a_beginning_of_its_own(
    rule: str, day: date, to: date, begins: str
) -> None:
    new = moved(rule, START, day, to)
    assert new is not None
    assert new.startswith(f"DTSTART:{begins} RRULE:")
    assert falls(new, START, to)
    assert rule_of(new).interval == rule_of(rule).interval


@pytest.mark.parametrize(
    ("rule", "day", "to"),
    [
        ("FREQ=DAILY;INTERVAL=10", date(2027, 1, 26), SATURDAY),
        ("FREQ=MONTHLY;BYDAY=TU,WE,TH;BYSETPOS=3", date(2027, 2, 4), date(2027, 2, 5)),
        ("FREQ=MONTHLY;BYMONTHDAY=-1", date(2027, 1, 31), SATURDAY),
        ("FREQ=MONTHLY;BYMONTHDAY=27", date(2027, 1, 27), SATURDAY),
        ("FREQ=WEEKLY;BYDAY=TU,SA;INTERVAL=2", TUESDAY - timedelta(weeks=1), SATURDAY - timedelta(weeks=1)),
        ("FREQ=WEEKLY;BYDAY=SA", TUESDAY, SATURDAY),
        ("FREQ=WEEKLY;BYDAY=SA", SATURDAY, SATURDAY),
        ("FREQ=WEEKLY;BYMONTH=1;BYDAY=SU", date(2027, 1, 31), date(2027, 2, 2)),
        ("FREQ=WEEKLY;INTERVAL=2;BYDAY=TU,SU", date(2027, 1, 24), date(2027, 1, 27)),
        ("FREQ=MONTHLY;BYMONTH=3;BYDAY=2WE,-1WE", date(2027, 3, 31), date(2027, 4, 2)),
        ("FREQ=MONTHLY;INTERVAL=2;BYDAY=SU", date(2027, 1, 31), date(2027, 2, 2)),
        ("FREQ=MONTHLY;BYDAY=1SA,1TU", date(2027, 2, 6), date(2027, 2, 2)),
    ],
    ids=["counted days", "a place in the month", "the last day", "the 30th is not in every month",
         "falls on both", "does not fall on the first", "the same day", "a month it does not come in",
         "too far from its other day", "its other day is in the old month", "every one of a month's",
         "one of its own other days"],
)  # fmt: skip
def test_a_rule_tied_to_no_single_day_of_the_week_is_left_alone(rule: str, day: date, to: date) -> None:
    assert moved(rule, START, day, to) is None


@given(WEEKLY | MONTHLY, STARTS, st.integers(0, 20), st.integers(0, 6), st.sampled_from(WeekStart))
def test_a_moved_rule_is_allowed_and_has_the_other_weekday(
    rule: str, start: date, which: int, ahead: int, starts: WeekStart
) -> None:
    day = (dates := falling(rule, start, 7 * WEEKS_LOOKED_AT))[which % len(dates)]
    to = days_of(week_of(day, starts))[ahead]
    new = moved(rule, start, day, to)
    if new is None:
        assert to.weekday() == day.weekday()
    else:
        assert rule_fault(new) is None
        assert {found.weekday() for found in falling(new, start, 800)} == {to.weekday()}
        assert (rule_of(new).freq, rule_of(new).interval) == (rule_of(rule).freq, rule_of(rule).interval)


@given(WEEKLY, STARTS, st.integers(1, 20), st.integers(0, 6))
def test_a_weekly_job_moved_within_monday_weeks_comes_in_the_same_weeks(
    rule: str, start: date, which: int, ahead: int
) -> None:
    rule = rule.replace("WKST=SU", "WKST=MO")
    dates = falling(rule, start, 7 * WEEKS_LOOKED_AT)
    day = dates[which % len(dates)]
    to = days_of(week_of(day, WeekStart.MONDAY))[ahead]
    new = moved(rule, start, day, to)
    if new is not None and to >= start:
        assert falls(new, start, to)
        after = [week_of(one, WeekStart.MONDAY) for one in falling(new, start, 400) if one >= to]
        before = [week_of(one, WeekStart.MONDAY) for one in falling(rule, start, 400) if one >= day]
        assert after[:5] == before[:5]


@given(WEEKLY, STARTS, st.integers(0, 20), st.sampled_from(WeekStart))
def test_the_days_within_a_week_are_those_on_which_the_job_then_comes_once(
    rule: str, start: date, which: int, starts: WeekStart
) -> None:
    dates = falling(rule, start, 7 * WEEKS_LOOKED_AT)
    day = dates[which % len(dates)]
    week = week_of(day, starts)
    for to, new in days_within(rule, start, day, week, week).items():
        assert [one for one in days_of(week) if falls(new, start, one)] == [to]


def test_a_job_of_a_date_goes_to_the_28th_at_most_since_the_29th_is_not_in_every_month() -> None:
    rule, start, day = "FREQ=MONTHLY;BYMONTHDAY=27", date(2027, 1, 1), date(2027, 1, 27)
    assert moved(rule, start, day, date(2027, 1, 28)) == "FREQ=MONTHLY;BYMONTHDAY=28"
    assert moved(rule, start, day, date(2027, 1, 29)) is None


def test_days_gone_by_are_no_choice_within_the_week() -> None:
    choices = days_within("FREQ=WEEKLY;BYDAY=SA", START, SATURDAY, MONDAY, date(2027, 1, 28))
    assert list(choices) == [date(2027, 1, 28), date(2027, 1, 29), date(2027, 1, 31)]


def test_every_other_week_a_sunday_week_keeps_its_job_by_counting_from_sunday() -> None:
    rule, saturday = "FREQ=WEEKLY;INTERVAL=2;BYDAY=SA", date(2027, 1, 9)
    sunday = date(2027, 1, 3)  # the first day of the week that ends on that Saturday
    new = moved(rule, date(2026, 12, 23), saturday, sunday)
    assert new == "FREQ=WEEKLY;INTERVAL=2;BYDAY=SU;WKST=SU"
    assert falling(new, date(2026, 12, 23), 40) == [sunday, date(2027, 1, 17), date(2027, 1, 31)]


@pytest.mark.parametrize(
    "rule",
    ["FREQ=DAILY", "FREQ=WEEKLY;INTERVAL=2;BYDAY=TU,SU;WKST=SU", "FREQ=MONTHLY;BYMONTH=3;BYDAY=1SU,-1SU",
     "FREQ=MONTHLY;BYMONTHDAY=-1,15", "FREQ=MONTHLY;BYDAY=TU,WE;BYSETPOS=-1"],
)  # fmt: skip
def test_a_rule_written_out_means_the_same(rule: str) -> None:
    assert rule_of(rule_text(rule_of(rule))) == rule_of(rule)
