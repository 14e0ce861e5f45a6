"""When the hour chosen comes on a household day, how long a message may be late, and when to look next."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

from dateutil.tz import datetime_exists

from coach.progress.days import ONE_DAY, date_of, exists, following, place_of

if TYPE_CHECKING:
    from datetime import date, time

LATEST = timedelta(hours=3)
"""How late a message may go out, where the service was off at its hour; after that its day has none."""

LOOK_AGAIN = timedelta(hours=2)
"""After how long a reminder is looked at even if its hour has not come: less than a message may be late.

So one whose household has moved to another zone, or begins its day at another hour, is found in time."""

_A_SECOND = timedelta(seconds=1)
_DAYS_AHEAD = 4


@dataclass(frozen=True, slots=True)
class Window:
    """While a day's message may go out.

    Attributes:
        day: The household day it tells of.
        opens: The instant of the hour chosen.
        closes: The instant from which it is too late.
        ends: The instant at which the day itself ends.
    """

    day: date
    opens: datetime
    closes: datetime
    ends: datetime


@dataclass(frozen=True, slots=True)
class Hours:
    """By which clock a household lives, and the hour that one of its people chose.

    Attributes:
        zone: IANA name.
        day_starts: The wall time at which its day begins.
        at: The hour chosen; one before the day begins is the last of the household day, on the next date.
    """

    zone: str
    day_starts: time
    at: time

    def comes(self, day: date) -> datetime | None:
        """The instant of the hour chosen on a household day.

        Where the clocks jump over it, the first instant after; where they show it twice, the first. None on a
        date that never happened, and where the clocks jump from before the hour into the next day.
        """
        if not exists(day, self.zone):
            return None
        wall = datetime.combine(day if self.at >= self.day_starts else day + ONE_DAY, self.at)
        instant = first_instant(wall, self.zone)
        return instant if date_of(instant, self.zone, self.day_starts) == day else None

    def ends(self, day: date) -> datetime:
        """The instant at which the household day after this one begins."""
        return first_instant(datetime.combine(following(day, self.zone), self.day_starts), self.zone)

    def window(self, now: datetime) -> Window | None:
        """The window that is open at an instant, if one is."""
        day = date_of(now, self.zone, self.day_starts)
        opens = self.comes(day)
        if opens is None or now < opens:
            return None
        ends = self.ends(day)
        closes = min(opens + LATEST, ends)
        return Window(day, opens, closes, ends) if now < closes else None

    def next_after(self, now: datetime) -> datetime:
        """The next instant at which the hour chosen comes."""
        day = date_of(now, self.zone, self.day_starts)
        for _ in range(_DAYS_AHEAD):
            instant = self.comes(day)
            if instant is not None and instant > now:
                return instant
            day = following(day, self.zone)
        return now + ONE_DAY

    def look_at(self, now: datetime) -> datetime:
        """The next instant to look at: when the hour comes, or a while from now if that is earlier."""
        return min(self.next_after(now), now + LOOK_AGAIN)


def first_instant(wall: datetime, zone: str) -> datetime:
    """The first instant, in UTC, at which a wall clock shows this time or, if it never does, a later one."""
    place = place_of(zone)
    late = wall.replace(tzinfo=place).astimezone(UTC)
    if datetime_exists(wall, place):
        return late
    # By the clock before the jump the time comes after it, by the one after it before: the jump lies between.
    early = wall.replace(tzinfo=place, fold=1).astimezone(UTC)
    while late - early > _A_SECOND:
        middle = early + timedelta(seconds=(late - early) // _A_SECOND // 2)
        if middle.astimezone(place).replace(tzinfo=None) > wall:
            late = middle
        else:
            early = middle
    return late
