"""Household days at the edges of time zones.

Source of the dates: the IANA time zone database (RFC 6557), as listed in the project's facts; what Python's
`zoneinfo` makes of it is counted here instant by instant.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest

from coach.progress.days import date_of, exists, following, instant_of, preceding

A_MINUTE = timedelta(minutes=1)
MIDNIGHT, THREE = time(0), time(3)
EDGES = [
    ("America/New_York", date(2026, 3, 8), 23.0),
    ("America/New_York", date(2026, 11, 1), 25.0),
    ("Europe/London", date(2026, 3, 29), 23.0),
    ("Europe/London", date(2026, 10, 25), 25.0),
    ("Australia/Lord_Howe", date(2026, 4, 5), 24.5),
    ("Europe/London", date(2026, 6, 1), 24.0),
]
NO_MIDNIGHT = [
    ("America/Santiago", date(2026, 9, 6)),
    ("Africa/Cairo", date(2026, 4, 24)),
    ("Asia/Beirut", date(2026, 3, 29)),
    ("America/Havana", date(2026, 3, 8)),
]


def instants(day: date, zone: str, day_starts: time) -> list[datetime]:
    """Every minute that belongs to a household day."""
    first = datetime.combine(day, MIDNIGHT, UTC) - timedelta(hours=36)
    around = (first + number * A_MINUTE for number in range(96 * 60))
    return [instant for instant in around if date_of(instant, zone, day_starts) == day]


@pytest.mark.parametrize(("zone", "day", "hours"), EDGES)
def test_a_day_from_midnight_has_as_many_hours_as_the_calendar_says(
    zone: str, day: date, hours: float
) -> None:
    assert len(instants(day, zone, MIDNIGHT)) == hours * 60


@pytest.mark.parametrize(("zone", "day", "hours"), EDGES)
def test_with_the_day_beginning_at_three_the_night_of_the_change_belongs_to_the_day_before(
    zone: str, day: date, hours: float
) -> None:
    assert len(instants(day - timedelta(days=1), zone, THREE)) == hours * 60
    assert len(instants(day, zone, THREE)) == 24 * 60


@pytest.mark.parametrize(("zone", "day", "_"), EDGES)
@pytest.mark.parametrize("day_starts", [MIDNIGHT, time(1, 30), time(2, 15), THREE, time(15)])
def test_a_household_day_is_one_stretch_of_time(zone: str, day: date, _: float, day_starts: time) -> None:
    found = instants(day, zone, day_starts)
    assert found[-1] - found[0] == (len(found) - 1) * A_MINUTE


@pytest.mark.parametrize(("zone", "day"), NO_MIDNIGHT)
def test_where_midnight_was_skipped_the_day_begins_with_its_first_minute(zone: str, day: date) -> None:
    first = instants(day, zone, MIDNIGHT)[0].astimezone(ZoneInfo(zone))
    assert (first.date(), first.time()) == (day, time(1))
    assert exists(day, zone)
    assert (preceding(day, zone), following(day, zone)) == (day - timedelta(days=1), day + timedelta(days=1))


@pytest.mark.parametrize(
    ("zone", "never"), [("Pacific/Apia", date(2011, 12, 30)), ("Pacific/Kwajalein", date(1993, 8, 21))]
)
def test_a_date_that_the_calendar_went_past_never_happened(zone: str, never: date) -> None:
    before, after = never - timedelta(days=1), never + timedelta(days=1)
    assert not exists(never, zone)
    assert following(before, zone) == after
    assert preceding(after, zone) == before
    for day_starts in (MIDNIGHT, THREE, time(15)):
        assert instants(never, zone, day_starts) == []


@pytest.mark.parametrize("day_starts", [MIDNIGHT, THREE, time(15)])
def test_in_apia_the_29th_went_on_until_the_31st_began(day_starts: time) -> None:
    """Midnight of the 31st followed the 29th at once; its first hours lie before the hour a day begins."""
    assert len(instants(date(2011, 12, 29), "Pacific/Apia", day_starts)) == 24 * 60


def test_every_date_exists_where_no_date_was_skipped() -> None:
    for zone in ("Europe/Lisbon", "Pacific/Auckland", "Australia/Lord_Howe", "America/Havana"):
        assert all(exists(date(2011, 12, 30) + timedelta(days=number), zone) for number in range(-40, 40))


@pytest.mark.parametrize(("zone", "day", "_"), EDGES)
def test_a_wall_clock_hour_is_found_on_days_of_any_length(zone: str, day: date, _: float) -> None:
    noon = instant_of(day, zone, time(12)).astimezone(ZoneInfo(zone))
    assert (noon.date(), noon.time()) == (day, time(12))
