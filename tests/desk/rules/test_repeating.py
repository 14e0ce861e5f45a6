from __future__ import annotations

import pytest

from areas.rules.homes import day
from coach.desk.rules.repeating import dates_of, repeating_fault
from coach.errors import Malformed


def found(rule: str, start: str, first: str, last: str) -> list[str]:
    return [on.isoformat() for on in dates_of(rule, day(start), day(first), day(last))]


def test_a_renewal_comes_every_year() -> None:
    assert found("FREQ=YEARLY", "2026-03-14", "2026-01-01", "2028-12-31") == [
        "2026-03-14",
        "2027-03-14",
        "2028-03-14",
    ]


def test_a_yearly_rule_keeps_its_interval() -> None:
    assert found("freq=yearly;interval=2;bymonth=3,9", "2026-03-14", "2026-01-01", "2029-12-31") == [
        "2026-03-14",
        "2026-09-14",
        "2028-03-14",
        "2028-09-14",
    ]


def test_the_29th_of_february_comes_in_leap_years() -> None:
    assert found("FREQ=YEARLY", "2024-02-29", "2024-01-01", "2032-12-31") == [
        "2024-02-29",
        "2028-02-29",
        "2032-02-29",
    ]


def test_a_monthly_bill_comes_every_month() -> None:
    assert found("FREQ=MONTHLY;BYMONTHDAY=-1", "2027-01-01", "2027-01-31", "2027-03-30") == [
        "2027-01-31",
        "2027-02-28",
    ]


def test_the_first_and_the_last_day_asked_about_count_and_a_bill_goes_on_over_the_years() -> None:
    assert found("FREQ=MONTHLY", "2026-11-15", "2026-11-15", "2028-02-15")[::5] == [
        "2026-11-15",
        "2027-04-15",
        "2027-09-15",
        "2028-02-15",
    ]


@pytest.mark.parametrize(
    "rule",
    [
        "FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=30",
        "FREQ=MONTHLY;BYMONTH=2;BYMONTHDAY=30",
        "FREQ=YEARLY;BYMONTHDAY=32",
    ],
)
def test_a_thirtieth_of_february_is_refused(rule: str) -> None:
    fault = repeating_fault(rule, day("2027-01-01"))
    assert fault is not None
    assert fault.endswith(".")


@pytest.mark.parametrize(
    ("rule", "said"),
    [
        ("FREQ=YEARLY;COUNT=3", "COUNT is not known here"),
        ("FREQ=MONTHLY;UNTIL=20270101", "UNTIL is not known here"),
        ("FREQ=YEARLY;BYWEEKNO=20", "name the month"),
        ("FREQ=YEARLY;BYYEARDAY=100", "name the month"),
        ("FREQ=YEARLY;BYDAY=1MO", "needs BYMONTH"),
        ("FREQ=YEARLY;BYMONTH=1,2;BYDAY=MO;BYSETPOS=1", "one month"),
        ("FREQ=YEARLY;INTERVAL=0", "INTERVAL"),
        ("FREQ=HOURLY", "FREQ"),
        ("every year", "FREQ"),
        ("", "empty"),
    ],
)
def test_a_rule_that_cannot_be_used_is_refused_with_a_sentence(rule: str, said: str) -> None:
    fault = repeating_fault(rule, day("2027-01-01"))
    assert fault is not None
    assert said in fault
    with pytest.raises(Malformed):
        list(dates_of(rule, day("2027-01-01"), day("2027-01-01"), day("2027-12-31")))


def test_a_rule_with_a_beginning_of_its_own_is_refused_for_that() -> None:
    fault = repeating_fault("DTSTART:20270104 RRULE:FREQ=MONTHLY", day("2027-01-01"))
    assert fault is not None
    assert fault.startswith("DTSTART is not allowed")


def test_a_rule_that_can_be_used_has_no_fault() -> None:
    for rule in ("FREQ=YEARLY", "FREQ=YEARLY;BYMONTH=4;BYDAY=1MO", "FREQ=MONTHLY", "FREQ=WEEKLY;BYDAY=FR"):
        assert repeating_fault(rule, day("2027-01-01")) is None
