"""What a calendar shows, and on which dates: values alone."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from datetime import date, datetime

    from coach.ground.sending import FeedKind

KINDS: tuple[FeedKind, ...] = ("jobs", "areas", "dinner", "dues", "routines")
"""What a feed can hold, in the order in which it is named."""

USUAL: tuple[FeedKind, ...] = ("jobs", "areas", "dinner", "dues")
"""What a feed holds unless somebody says otherwise: what falls on few days, not the lines of every day."""

DAYS_AHEAD = 400
"""So many dates after today stand in a calendar: a year and what is planned a month before."""

DAYS_BACK = 30
"""So many dates before today stand in it."""

APPOINTMENT = timedelta(minutes=30)
"""How long a due with a time stands in the calendar: nobody says how long an appointment takes, and half an
hour is as much as every program shows with its words."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One thing with the dates on which it falls; each of them becomes an event of its own.

    Attributes:
        kind: What it is.
        id: Names it within its kind; together with a date no other event has it.
        title: The line that a calendar shows.
        text: What stands below it, line by line; empty for nothing.
        changed: When what it says was last written, aware.
        dates: In order.
        begins: The instant in UTC at which it begins on each of the dates; empty: it is there all day.
    """

    kind: FeedKind
    id: str
    title: str
    text: str
    changed: datetime
    dates: tuple[date, ...]
    begins: tuple[datetime, ...] = ()


@dataclass(frozen=True, slots=True)
class Calendar:
    """All of it, as it stands for one version of a household on one date.

    Attributes:
        household: Its key, the second half of each event's identity.
        name: What the calendar is called.
        changed: When anything of the household was last written, aware.
        version: The household's version.
        address: Where its pages are, if that is known.
        entries: What it shows.
    """

    household: str
    name: str
    changed: datetime
    version: int
    entries: tuple[Entry, ...]
    address: str = ""
