"""Rules of recurrence: which are refused, how they are said, and that no question takes long."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import islice
from time import perf_counter

import pytest
from dateutil.rrule import rrulestr
from hypothesis import given
from hypothesis import strategies as st

from coach.course.recurrence import (
    falls,
    in_words,
    is_by_days,
    is_every_day,
    next_fall,
    rule_fault,
    weekdays,
)
from coach.errors import Malformed

MONDAY = date(2027, 1, 4)
TEN_YEARS = [MONDAY + timedelta(days=ahead) for ahead in range(3653)]


@pytest.mark.parametrize(
    ("rule", "reason"),
    [
        ("", "a part of the rule is empty"),
        ("FREQ=DAILY;", "a part of the rule is empty"),
        ("daily", "“daily” is not a part"),
        ("FREQ=DAILY; INTERVAL=2", "INTERVAL is not a part of a recurrence rule"),
        ("RRULE:FREQ=DAILY", "leave out RRULE:"),
        ("INTERVAL=2", "a rule needs FREQ=DAILY"),
        ("FREQ=YEARLY", "not YEARLY"),
        ("FREQ=HOURLY", "not HOURLY"),
        ("FREQ=DAILY;COUNT=3", "COUNT is not allowed"),
        ("FREQ=DAILY;UNTIL=20271231", "UNTIL is not allowed"),
        ("FREQ=DAILY;BYHOUR=8", "BYHOUR is not allowed"),
        ("FREQ=MONTHLY;BYWEEKNO=3", "BYWEEKNO belongs to yearly rules"),
        ("FREQ=DAILY;BYYEARDAY=3", "BYYEARDAY belongs to yearly rules"),
        ("FREQ=DAILY;BYEASTER=0", "BYEASTER is not a part"),
        ("FREQ=WEEKLY;BYWEEKDAY=MO", "BYWEEKDAY is not a part"),
        ("FREQ=DAILY;freq=WEEKLY", "FREQ stands in the rule twice"),
        ("FREQ=DAILY;INTERVAL=0", "INTERVAL=0 needs whole numbers from 1"),
        ("FREQ=DAILY;INTERVAL=1,2", "INTERVAL=1,2 needs"),
        ("FREQ=DAILY;INTERVAL=" + "9" * 5000, "needs whole numbers from 1"),
        ("FREQ=DAILY;BYMONTH=13", "BYMONTH=13 needs whole numbers from 1 to 12"),
        ("FREQ=DAILY;BYMONTH=-1", "BYMONTH=-1 needs whole numbers from 1 to 12"),
        ("FREQ=MONTHLY;BYMONTHDAY=0", "from 1 to 31 or -31 to -1"),
        ("FREQ=MONTHLY;BYMONTHDAY=1,,2", "from 1 to 31 or -31 to -1"),
        ("FREQ=WEEKLY;BYMONTHDAY=1", "BYMONTHDAY cannot stand in a weekly rule"),
        ("FREQ=WEEKLY;BYDAY=1MO", "needs FREQ=MONTHLY"),
        ("FREQ=WEEKLY;BYDAY=MON", "“MON” in BYDAY is not a weekday"),
        ("FREQ=MONTHLY;BYDAY=6MO", "6MO in BYDAY never falls"),
        ("FREQ=MONTHLY;BYDAY=0MO", "0MO in BYDAY never falls"),
        ("FREQ=DAILY;WKST=1", "WKST=1 needs one of MO"),
        ("FREQ=MONTHLY;BYSETPOS=1", "BYSETPOS needs another part"),
        ("FREQ=MONTHLY;BYMONTH=2;BYMONTHDAY=30", "never falls on any date"),
        ("FREQ=DAILY;BYMONTH=4;BYMONTHDAY=31", "never falls on any date"),
        ("FREQ=WEEKLY;BYDAY=MO,TU;BYSETPOS=3", "never falls on any date"),
        ("FREQ=DAILY;BYDAY=MO;BYSETPOS=2", "never falls on any date"),
    ],
)
def test_a_rule_is_refused_with_its_reason(rule: str, reason: str) -> None:
    assert reason in (rule_fault(rule) or "")


@pytest.mark.parametrize(
    "rule", ["freq=weekly;byday=mo", "BYDAY=+1FR;FREQ=MONTHLY", "FREQ=DAILY;BYMONTH=2;BYMONTHDAY=29;BYDAY=MO"]
)
def test_a_rule_is_allowed_in_either_case_any_order_and_however_seldom_it_falls(rule: str) -> None:
    assert rule_fault(rule) is None


def test_a_refused_rule_falls_never_but_raises() -> None:
    with pytest.raises(Malformed):
        falls("FREQ=YEARLY", MONDAY, MONDAY)


@pytest.mark.parametrize(
    ("rule", "expected"),
    [
        ("FREQ=DAILY", True),
        ("FREQ=WEEKLY;BYDAY=SU,MO,TU,WE,TH,FR,SA", True),
        ("FREQ=MONTHLY;BYMONTHDAY=" + ",".join(map(str, range(1, 32))), True),
        ("FREQ=MONTHLY;BYMONTHDAY=" + ",".join(map(str, range(1, 31))), False),
        ("FREQ=DAILY;INTERVAL=2", False),
        ("FREQ=DAILY;BYMONTH=1,2,3,4,5,6,7,8,9,10,11", False),
        ("FREQ=WEEKLY;INTERVAL=2;BYDAY=SU,MO,TU,WE,TH,FR,SA", False),
        ("FREQ=WEEKLY;BYDAY=MO,TU,WE,TH,FR,SA", False),
    ],
)
def test_a_rule_falls_every_day_however_it_says_so(rule: str, expected: bool) -> None:  # noqa: FBT001
    assert is_every_day(rule) is expected


def test_nothing_falls_before_the_start() -> None:
    assert not falls("FREQ=DAILY", MONDAY, MONDAY - timedelta(days=1))
    assert falls("FREQ=DAILY", MONDAY, MONDAY)


def test_a_start_that_does_not_match_is_no_occurrence() -> None:
    assert not falls("FREQ=WEEKLY;BYDAY=SA", MONDAY, MONDAY)
    assert next_fall("FREQ=WEEKLY;BYDAY=SA", MONDAY, MONDAY) == date(2027, 1, 9)


def test_the_next_date_before_the_start_is_the_first() -> None:
    assert next_fall("FREQ=DAILY;INTERVAL=3", MONDAY, date(2020, 1, 1)) == MONDAY
    assert next_fall("FREQ=DAILY;INTERVAL=3", MONDAY, MONDAY) == date(2027, 1, 7)


def test_a_week_cut_by_the_start_keeps_its_positions() -> None:
    """The first of Monday, Wednesday and Friday was the Monday before a start on a Wednesday."""
    rule, wednesday = "FREQ=WEEKLY;BYDAY=MO,WE,FR;BYSETPOS=1", date(2027, 1, 6)
    assert next_fall(rule, wednesday, wednesday - timedelta(days=1)) == date(2027, 1, 11)


def test_a_numbered_weekday_does_not_shut_out_another() -> None:
    days = [day.day for day in TEN_YEARS[:28] if falls("FREQ=MONTHLY;BYDAY=2MO,TU", MONDAY, day)]
    assert days == [5, 11, 12, 19, 26]


@pytest.mark.parametrize("year", [date.min.year, date.max.year])
def test_the_first_and_the_last_year_of_the_calendar_have_dates_too(year: int) -> None:
    new_year, eve = date(year, 1, 1), date(year, 12, 31)
    assert falls("FREQ=WEEKLY;WKST=SU", new_year, new_year + timedelta(days=7))
    assert falls("FREQ=MONTHLY;BYMONTHDAY=-1", new_year, eve)


@given(st.sampled_from([1, 2, 3, 30]), st.dates(date(1990, 1, 1), date(2090, 1, 1)), st.integers(0, 400))
def test_plain_rules_agree_with_dateutil(interval: int, start: date, ahead: int) -> None:
    day = start + timedelta(days=ahead)
    for freq in ("DAILY", "WEEKLY", "MONTHLY"):
        rule = f"FREQ={freq};INTERVAL={interval}"
        between = f"DTSTART:{start:%Y%m%d}\nRRULE:{rule};UNTIL={day:%Y%m%d}"
        assert falls(rule, start, day) == any(found.date() == day for found in rrulestr(between))


def test_a_rule_with_a_beginning_of_its_own_counts_from_there() -> None:
    """The same text, with a line's end in the place of the space, is what iCalendar files hold."""
    rule = "DTSTART:20270114 RRULE:FREQ=WEEKLY;INTERVAL=2;BYDAY=TH"
    found = [day for day in TEN_YEARS[:60] if falls(rule, MONDAY, day)]
    lines = rrulestr(rule.replace(" ", "\n"))
    assert found == [one.date() for one in islice(lines, 4)]
    assert in_words(rule) == "every second Thursday"


def test_nothing_falls_before_a_rules_own_beginning_nor_before_the_start() -> None:
    weekly = "RRULE:FREQ=WEEKLY;BYDAY=TH"
    assert next_fall(f"DTSTART:20270201 {weekly}", MONDAY, MONDAY) == date(2027, 2, 4)
    assert next_fall(f"DTSTART:20261201 {weekly}", MONDAY, date(2026, 12, 1)) == date(2027, 1, 7)


@pytest.mark.parametrize(
    "rule",
    [
        "FREQ=MONTHLY;INTERVAL=2;BYMONTH=2",  # begun in January, it meets February never
        "FREQ=DAILY;INTERVAL=7;BYDAY=TU",  # begun on a Monday, it meets a Tuesday never
        "FREQ=DAILY;INTERVAL=999999999;BYMONTH=2",
    ],
)
def test_a_rule_that_never_falls_from_its_start_is_answered_at_once(rule: str) -> None:
    begun = perf_counter()
    assert not any(falls(rule, MONDAY, day) for day in TEN_YEARS)
    assert next_fall(rule, MONDAY, MONDAY) is None
    assert perf_counter() - begun < 1


@pytest.mark.parametrize("rule", ["FREQ=DAILY", "FREQ=WEEKLY;BYDAY=SA", "FREQ=MONTHLY;BYMONTHDAY=-1"])
def test_ten_years_day_by_day_take_a_few_milliseconds(rule: str) -> None:
    """The bound is ten times what was measured, so that a busy machine does not fail it."""
    begun = perf_counter()
    assert any(falls(rule, MONDAY, day) for day in TEN_YEARS)
    assert sum(falls(rule, MONDAY, day) for day in TEN_YEARS) >= 120
    assert perf_counter() - begun < 0.2


@pytest.mark.parametrize(
    ("rule", "words"),
    [
        ("FREQ=DAILY", "every day"),
        ("FREQ=DAILY;INTERVAL=2", "every second day"),
        ("FREQ=DAILY;INTERVAL=21", "every 21st day"),
        ("FREQ=DAILY;BYDAY=SA,SU", "every day that is a Saturday or Sunday"),
        ("FREQ=WEEKLY", "every week"),
        ("FREQ=WEEKLY;BYDAY=SA", "every Saturday"),
        ("FREQ=WEEKLY;BYDAY=TH,MO", "every Monday and Thursday"),
        ("FREQ=WEEKLY;BYDAY=MO,TU,WE,TH,FR", "Monday to Friday"),
        ("FREQ=WEEKLY;BYDAY=MO,TU,WE,TH,FR,SA,SU", "every day"),
        ("FREQ=WEEKLY;INTERVAL=2;BYDAY=TU", "every second Tuesday"),
        ("FREQ=WEEKLY;INTERVAL=2;BYDAY=TU,FR", "every second week on Tuesday and Friday"),
        ("FREQ=WEEKLY;BYDAY=MO,WE;BYSETPOS=-1", "on the last Monday or Wednesday of every week"),
        ("FREQ=MONTHLY", "every month"),
        ("FREQ=MONTHLY;BYMONTHDAY=15", "on the 15th of every month"),
        ("FREQ=MONTHLY;BYMONTHDAY=1,-1", "on the 1st and the last day of every month"),
        ("FREQ=MONTHLY;INTERVAL=3;BYMONTHDAY=22", "on the 22nd of every third month"),
        ("FREQ=MONTHLY;BYDAY=1FR", "on the first Friday of every month"),
        ("FREQ=MONTHLY;BYDAY=-2MO", "on the second to last Monday of every month"),
        ("FREQ=MONTHLY;BYDAY=TU;BYMONTH=6,3", "on every Tuesday of every month, in March and June"),
        (
            "FREQ=MONTHLY;BYDAY=TU,WE,TH;BYSETPOS=3",
            "on the third Tuesday, Wednesday or Thursday of every month",
        ),
        ("FREQ=MONTHLY;BYDAY=FR;BYMONTHDAY=13", "on the 13th of every month if it is a Friday"),
    ],
)
def test_a_rule_in_words(rule: str, words: str) -> None:
    assert in_words(rule) == words


@pytest.mark.parametrize(
    ("rule", "days"),
    [
        ("FREQ=DAILY", ()),
        ("FREQ=WEEKLY;BYDAY=TH,MO", ("MO", "TH")),
        ("FREQ=WEEKLY;WKST=SU;BYDAY=SA", ("SA",)),
        ("FREQ=WEEKLY", None),
        ("FREQ=DAILY;INTERVAL=2", None),
        ("FREQ=WEEKLY;INTERVAL=2;BYDAY=MO", None),
        ("FREQ=WEEKLY;BYDAY=MO;BYMONTH=1", None),
        ("FREQ=MONTHLY;BYDAY=MO", None),
    ],
)
def test_the_weekdays_of_a_rule(rule: str, days: tuple[str, ...] | None) -> None:
    assert weekdays(rule) == days


@pytest.mark.parametrize(
    ("rule", "expected"),
    [
        ("FREQ=DAILY", True),
        ("INTERVAL=2;FREQ=DAILY", True),
        ("freq=daily;interval=3", True),
        ("FREQ=WEEKLY;BYDAY=MO,TU,WE,TH,FR,SA,SU", False),
        ("FREQ=MONTHLY", False),
    ],
)
def test_a_rule_counts_in_days_however_its_parts_are_put(rule: str, expected: bool) -> None:  # noqa: FBT001
    assert is_by_days(rule) is expected
