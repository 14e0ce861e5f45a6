"""Yearly recurrences (RFC 5545 §3.3.10) against python-dateutil, which reads them in another way."""

from __future__ import annotations

from datetime import date, datetime, timedelta

from dateutil.rrule import rrulestr
from hypothesis import given
from hypothesis import strategies as st

from coach.desk.rules.repeating import dates_of, repeating_fault


def listed(name: str, values: st.SearchStrategy[int] | st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    """A part of a rule with one to three values, or none."""
    several = st.lists(values.map(str), min_size=1, max_size=3, unique=True)
    return st.one_of(st.just(""), several.map(lambda chosen: f";{name}={','.join(chosen)}"))


rules = st.builds(
    "FREQ=YEARLY{}{}{}{}".format,
    st.sampled_from(["", ";INTERVAL=1", ";INTERVAL=2", ";INTERVAL=3"]),
    listed("BYMONTH", st.integers(1, 12)),
    listed("BYMONTHDAY", st.sampled_from([1, 14, 28, 29, 30, 31, -1, -31])),
    listed("BYDAY", st.sampled_from(["MO", "WE", "SU"])),
)


@given(rules, st.dates(date(2015, 1, 1), date(2030, 12, 31)))
def test_yearly_dates_are_those_of_dateutil(rule: str, start: date) -> None:
    if repeating_fault(rule, start) is not None:
        # Refused as never falling: then the other implementation finds no date either.
        assert next(iter(rrulestr(rule, dtstart=datetime(9960, 1, start.day))), None) is None  # noqa: DTZ001  bare dates
        return
    last = start + timedelta(days=9 * 366)
    begin, end = (datetime(day.year, day.month, day.day) for day in (start, last))  # noqa: DTZ001  bare dates
    theirs = [day.date() for day in rrulestr(rule, dtstart=begin).between(begin, end, inc=True)]
    assert list(dates_of(rule, start, start, last)) == theirs
