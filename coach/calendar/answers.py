"""What a household is told of its calendar feeds."""

# Pydantic reads these annotations at run time.
import datetime as dt
from dataclasses import dataclass, field

from coach.calendar.rules.entries import DAYS_AHEAD, DAYS_BACK, KINDS, USUAL
from coach.ground.sending import FeedKind

__all__ = ["DAYS_AHEAD", "DAYS_BACK", "KINDS", "USUAL", "FeedView", "Feeds", "NewFeed"]


@dataclass(frozen=True, slots=True)
class FeedView:
    """A feed, without its secret.

    Attributes:
        id: Names it.
        name: What it is called.
        holds: What it holds.
        person: Who made it; empty: the household alone.
        person_name: What that person is called.
        made_at: When it was made or given another secret.
        last_fetched: When a program last fetched it, to the hour; none: never.
    """

    id: str
    name: str
    holds: tuple[FeedKind, ...]
    person: str
    person_name: str
    made_at: dt.datetime
    last_fetched: dt.datetime | None


@dataclass(frozen=True, slots=True)
class Feeds:
    """The feeds that one may see."""

    feeds: tuple[FeedView, ...]


@dataclass(frozen=True, slots=True)
class NewFeed:
    """A feed whose secret was just made; it is said this once."""

    secret: str = field(repr=False)
    feed: FeedView
