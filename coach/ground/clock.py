"""The kitchen's clock: what it shows now, and at a time of a household day."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from typing import TYPE_CHECKING

from coach.progress.days import ONE_DAY, place_of

if TYPE_CHECKING:
    from coach.ground.ports import Context, Household


def wall_now(context: Context, home: Household) -> datetime:
    """What the household's clock shows, without a zone; on a day that is tried, at this time of it."""
    shown = context.clock().astimezone(place_of(home.zone)).replace(tzinfo=None)
    return shown if context.pretend is None else wall_at(home, context.pretend, shown.time())


def wall_at(home: Household, on: date, hour: time) -> datetime:
    """What the clock shows at an hour of a household day; one before the day begins is of the next date."""
    return datetime.combine(on if hour >= home.day_starts else on + ONE_DAY, hour)


def wall_after(moment: datetime, duration: timedelta, zone: str) -> datetime:
    """What the clock shows when a duration has gone by, a change of the clocks between taken into account."""
    place = place_of(zone)
    return (moment.replace(tzinfo=place).astimezone(UTC) + duration).astimezone(place).replace(tzinfo=None)
