"""When the hour chosen comes: across zones, changes of the clocks, and hours at which a day begins."""

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.messages.rules.hours import LATEST, LOOK_AGAIN, Hours, first_instant
from coach.progress.days import date_of, exists, following

# The zones of facts.md, "Calendar": those without a midnight, without a date, with half an hour.
ZONES = (
    "UTC",
    "America/New_York",
    "Europe/London",
    "Australia/Lord_Howe",
    "America/Santiago",
    "Africa/Cairo",
    "Asia/Beirut",
    "America/Havana",
    "Pacific/Apia",
    "Asia/Tokyo",
)
CHANGES = (
    date(2026, 3, 8),
    date(2026, 11, 1),
    date(2026, 3, 29),
    date(2026, 10, 25),
    date(2026, 4, 5),
    date(2026, 9, 6),
    date(2026, 4, 24),
    date(2011, 12, 30),
)
TIMES = st.builds(time, st.integers(0, 23), st.sampled_from([0, 1, 29, 30, 31, 59]))
HOURS = st.builds(Hours, st.sampled_from(ZONES), TIMES, TIMES)
INSTANTS = st.builds(
    lambda day, minutes: datetime.combine(day, time(0), UTC) + timedelta(minutes=minutes),
    st.sampled_from(CHANGES),
    st.integers(-2 * 1440, 3 * 1440),
)


@pytest.mark.parametrize(
    ("zone", "wall", "instant"),
    [
        # London skips 01:00 to 02:00 on 2026-03-29 and shows that hour twice on 2026-10-25.
        ("Europe/London", "2026-03-29 01:30", "2026-03-29 01:00"),
        ("Europe/London", "2026-10-25 01:30", "2026-10-25 00:30"),
        ("America/Santiago", "2026-09-06 00:00", "2026-09-06 04:00"),
        ("Africa/Cairo", "2026-04-24 00:15", "2026-04-23 22:00"),
        ("Pacific/Apia", "2011-12-30 08:00", "2011-12-30 10:00"),
        ("Asia/Tokyo", "2026-04-24 07:30", "2026-04-23 22:30"),
    ],
)
def test_an_hour_that_is_jumped_over_comes_with_the_first_instant_after_and_one_shown_twice_first(
    zone: str, wall: str, instant: str
) -> None:
    found = first_instant(datetime.fromisoformat(wall), zone)
    assert found == datetime.fromisoformat(instant).replace(tzinfo=UTC)


@given(HOURS, INSTANTS)
def test_a_window_tells_of_the_day_it_is_in_from_the_hour_chosen_for_three_hours_at_most(
    hours: Hours, now: datetime
) -> None:
    window = hours.window(now)
    if window is None:
        return
    assert window.opens <= now < window.closes <= min(window.opens + LATEST, window.ends)
    assert date_of(now, hours.zone, hours.day_starts) == window.day
    just_before = window.closes - timedelta(seconds=1)
    assert date_of(just_before, hours.zone, hours.day_starts) == window.day
    shown = window.opens.astimezone(ZoneInfo(hours.zone)).time().replace(second=0)
    assert shown >= hours.at or window.day in CHANGES or following(window.day, hours.zone) in CHANGES


@given(HOURS, INSTANTS)
def test_a_window_opens_at_the_next_instant_that_was_named_and_none_opens_before_it(
    hours: Hours, now: datetime
) -> None:
    comes = hours.next_after(now)
    assert now < comes <= now + timedelta(hours=50 if hours.zone != "Pacific/Apia" else 74)
    window = hours.window(comes)
    assert window is not None
    assert window.opens == comes
    earlier = hours.window(comes - timedelta(seconds=1))
    assert earlier is None or earlier.opens <= now


@given(HOURS, INSTANTS)
def test_every_day_that_happens_has_one_hour_unless_the_clocks_jump_from_before_it_into_the_next(
    hours: Hours, now: datetime
) -> None:
    day = date_of(now, hours.zone, hours.day_starts)
    instant = hours.comes(day)
    assert exists(day, hours.zone)
    if instant is None:
        last = hours.ends(day) - timedelta(seconds=1)
        begins_anew = hours.ends(day).astimezone(ZoneInfo(hours.zone))
        assert last.astimezone(ZoneInfo(hours.zone)).utcoffset() != begins_anew.utcoffset()
    else:
        assert date_of(instant, hours.zone, hours.day_starts) == day


@given(HOURS, INSTANTS)
def test_the_day_ends_where_the_next_one_begins(hours: Hours, now: datetime) -> None:
    day = date_of(now, hours.zone, hours.day_starts)
    ends = hours.ends(day)
    assert date_of(ends, hours.zone, hours.day_starts) == following(day, hours.zone)
    assert date_of(ends - timedelta(seconds=1), hours.zone, hours.day_starts) == day


def test_one_looks_again_often_enough_to_be_in_time_after_a_move_to_another_zone() -> None:
    assert LOOK_AGAIN < LATEST
    evening = Hours("Europe/Lisbon", time(3), time(19))
    now = datetime(2027, 1, 4, 8, 0, tzinfo=UTC)
    assert evening.look_at(now) == now + LOOK_AGAIN
    assert evening.look_at(now + timedelta(hours=10)) == datetime(2027, 1, 4, 19, 0, tzinfo=UTC)


def test_an_hour_before_the_day_begins_is_the_last_of_the_household_day() -> None:
    late = Hours("Europe/Lisbon", time(3), time(1))
    window = late.window(datetime(2027, 1, 5, 1, 30, tzinfo=UTC))
    assert window is not None
    assert window.day == date(2027, 1, 4)
    assert window.closes == window.ends == datetime(2027, 1, 5, 3, 0, tzinfo=UTC)
