"""The household day (rules §2)."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.errors import Malformed
from coach.progress.days import (
    checked_zone,
    date_of,
    exists,
    following,
    hour_of,
    instant_of,
    is_too_late,
    iso_date,
    preceding,
    zone_names,
)

LISBON = "Europe/Lisbon"
THREE = time(3)


def at(text: str) -> datetime:
    return datetime.fromisoformat(text)


@pytest.mark.parametrize(
    ("instant", "day_starts", "day"),
    [
        ("2027-01-05T01:30+00:00", "03:00", "2027-01-04"),
        ("2027-01-05T02:59+00:00", "03:00", "2027-01-04"),
        ("2027-01-05T03:00+00:00", "03:00", "2027-01-05"),
        ("2027-01-05T14:59+00:00", "15:00", "2027-01-04"),
        ("2027-01-05T15:00+00:00", "15:00", "2027-01-05"),
        ("2027-01-05T00:00+00:00", "00:00", "2027-01-05"),
        ("2027-03-28T02:00+01:00", "01:30", "2027-03-28"),  # 01:30 was skipped: 00:59 was followed by 02:00
        ("2027-10-31T01:45+01:00", "01:30", "2027-10-31"),
        ("2027-10-31T01:10+00:00", "01:30", "2027-10-31"),  # 25 minutes later, after the clocks went back
    ],
)
def test_the_day_begins_at_its_hour_by_the_wall_clock(instant: str, day_starts: str, day: str) -> None:
    assert date_of(at(instant), LISBON, hour_of(day_starts)) == date.fromisoformat(day)


def test_one_instant_is_two_dates_in_two_zones() -> None:
    instant = at("2027-01-11T20:00+00:00")
    assert date_of(instant, LISBON, THREE) == date(2027, 1, 11)
    assert date_of(instant, "Pacific/Auckland", THREE) == date(2027, 1, 12)


@given(
    st.sampled_from(zone_names()),
    st.times().map(lambda hour: hour.replace(second=0, microsecond=0)),
    st.datetimes(datetime(2000, 1, 1), datetime(2040, 1, 1), timezones=st.just(UTC)),  # noqa: DTZ001
    st.timedeltas(timedelta(0), timedelta(hours=30)),
)
def test_a_later_instant_never_belongs_to_an_earlier_day(
    zone: str, day_starts: time, instant: datetime, later: timedelta
) -> None:
    assert date_of(instant, zone, day_starts) <= date_of(instant + later, zone, day_starts)


@given(
    st.sampled_from(zone_names()),
    st.times().map(lambda hour: hour.replace(second=0, microsecond=0)),
    st.dates(date(1990, 1, 1), date(2040, 1, 1)),
)
def test_neighbouring_days_are_each_others_neighbours(zone: str, day_starts: time, day: date) -> None:
    assert day_starts == hour_of(f"{day_starts:%H:%M}")
    if exists(day, zone):
        assert preceding(following(day, zone), zone) == day
        assert following(preceding(day, zone), zone) == day


def test_the_dates_beside_one_that_never_happened_are_neighbours() -> None:
    before, after = date(2011, 12, 29), date(2011, 12, 31)
    assert following(before, "Pacific/Apia") == after
    assert preceding(after, "Pacific/Apia") == before


def test_an_early_hour_after_a_date_that_never_happened_belongs_to_the_date_before_that() -> None:
    assert date_of(at("2011-12-31T01:00+14:00"), "Pacific/Apia", THREE) == date(2011, 12, 29)


def test_the_instant_at_which_a_wall_clock_shows_an_hour() -> None:
    instant = instant_of(date(2027, 7, 1), LISBON, THREE)
    assert instant == at("2027-07-01T02:00+00:00")
    assert instant.tzinfo is UTC


@pytest.mark.parametrize(
    "text", ["", "tomorrow", "2027-1-4", "20270104", "2027-W01-1", "2027-02-30", "4.1.2027"]
)
def test_a_date_is_written_in_one_way(text: str) -> None:
    with pytest.raises(Malformed, match="Write it as YYYY-MM-DD"):
        iso_date(text)


@pytest.mark.parametrize("text", ["", "3", "25:00", "03:60", "3pm", "03:00:00"])
def test_an_hour_is_written_as_hours_and_minutes(text: str) -> None:
    with pytest.raises(Malformed, match="Write it as HH:MM"):
        hour_of(text)


@pytest.mark.parametrize("name", ["", "Mars/Olympus", "Europe", "../etc/passwd", "Europe/Lisbon\0", "/UTC"])
def test_a_zone_nobody_knows_is_refused(name: str) -> None:
    with pytest.raises(Malformed, match="There is no time zone"):
        checked_zone(name)


def test_the_whole_list_of_zones_can_be_chosen_from() -> None:
    names = zone_names()
    assert {"UTC", LISBON, "Pacific/Auckland", "Pacific/Apia"} <= set(names)
    assert all(checked_zone(name) == name for name in names)
    assert list(names) == sorted(names)


def test_a_date_is_too_late_a_hundred_years_and_a_day_after_the_start() -> None:
    started = date(2027, 1, 4)
    assert not is_too_late(date(2127, 1, 4), started)
    assert is_too_late(date(2127, 1, 5), started)
    assert not is_too_late(date(2128, 2, 29), date(2028, 2, 29))
