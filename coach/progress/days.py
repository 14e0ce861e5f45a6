"""The household day: which date an instant belongs to, and which dates exist at all (rules §2)."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from functools import lru_cache
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError, available_timezones

from dateutil.tz import datetime_exists

from coach.errors import Malformed

ONE_DAY = timedelta(days=1)
LONGEST_YEARS = 100
"""How many years after its start a household's days are worked out."""
FIRST_ZONE = "UTC"
FIRST_HOUR = time(3)
_PROBES = (time(0), time(12), time(23, 59, 59))


def zone_names() -> tuple[str, ...]:
    """Every name of the IANA list, in alphabetical order."""
    return tuple(sorted(available_timezones() - {"localtime", "posixrules", "Factory"}))


def checked_zone(name: str) -> str:
    """The same name if the IANA list has it.

    Raises:
        Malformed: There is no such zone.
    """
    try:
        ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError, TypeError):
        raise Malformed(
            f"There is no time zone “{name}”. Choose a name of the IANA list, such as Europe/Lisbon."
        ) from None
    return name


@lru_cache(maxsize=1024)
def place_of(zone: str) -> ZoneInfo:
    """The clock of a zone; that of `FIRST_ZONE` where this machine's list of zones has no such name.

    A zone may have been known when it was chosen, and not to the list of today.
    """
    return ZoneInfo(known_zone(zone))


def known_zone(zone: str) -> str:
    """The name of the zone whose clock it is."""
    return zone if is_known(zone) else FIRST_ZONE


def is_known(zone: str) -> bool:
    """Whether this machine's list of zones has a name."""
    try:
        checked_zone(zone)
    except Malformed:
        return False
    return True


def iso_date(text: str) -> date:
    """The date written as YYYY-MM-DD (ISO 8601's extended form, and no other).

    Raises:
        Malformed: It is not written so, or there is no such date.
    """
    try:
        day = date.fromisoformat(text)
    except ValueError:
        day = None
    if day is None or day.isoformat() != text:
        raise Malformed(f"“{text}” is not a date. Write it as YYYY-MM-DD, such as 2027-01-04.")
    return day


def hour_of(text: str) -> time:
    """The wall time written as HH:MM.

    Raises:
        Malformed: It is not written so.
    """
    try:
        return datetime.strptime(text, "%H:%M").time()  # noqa: DTZ007  a wall time has no zone
    except ValueError:
        raise Malformed(f"“{text}” is not a time of day. Write it as HH:MM, such as 03:00.") from None


def is_too_late(day: date, started: date) -> bool:
    """Whether a date lies more than a hundred years after the start."""
    return (day.year - LONGEST_YEARS, day.month, day.day) > (started.year, started.month, started.day)


@lru_cache(maxsize=8192)
def exists(day: date, zone: str) -> bool:
    """Whether the calendar date ever happened in the zone; Pacific/Apia had no 2011-12-30.

    A zone that jumps over a whole date leaves none of its wall times, so three of them tell.
    """
    place = place_of(zone)
    return any(datetime_exists(datetime.combine(day, probe), place) for probe in _PROBES)


def following(day: date, zone: str) -> date:
    """The next date that exists in the zone."""
    later = day + ONE_DAY
    while not exists(later, zone):
        later += ONE_DAY
    return later


def preceding(day: date, zone: str) -> date:
    """The latest earlier date that exists in the zone."""
    earlier = day - ONE_DAY
    while not exists(earlier, zone):
        earlier -= ONE_DAY
    return earlier


def date_of(instant: datetime, zone: str, day_starts: time) -> date:
    """The household date an instant belongs to.

    The day begins at `day_starts` by the wall clock, so with 03:00 half past one on Tuesday still belongs to
    Monday. It begins once: when clocks go back past that hour, it does not end again. Where all this names a
    date that never happened, the instant belongs to the date before it.

    Args:
        instant: An aware instant.
        zone: IANA name.
        day_starts: Local wall time.
    """
    local = instant.astimezone(place_of(zone))
    has_begun = local.time() >= day_starts or instant >= instant_of(local.date(), zone, day_starts)
    day = local.date() if has_begun else local.date() - ONE_DAY
    return day if exists(day, zone) else preceding(day, zone)


def instant_of(day: date, zone: str, hour: time) -> datetime:
    """The instant, in UTC, at which a wall clock in the zone shows `hour` on `day`."""
    return datetime.combine(day, hour, tzinfo=place_of(zone)).astimezone(UTC)
