"""What somebody is to be told on a day: one quiet word, two in a lapse, and often nothing."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

Kind = Literal["day", "week", "weeks"]

A_WEEK = 7
"""Days without a mark after which a household that has lapsed is written to once."""

THREE_WEEKS = 21
"""Days without a mark after which it is written to once more, and then not again in this lapse."""

MOST_TRIES = 3
"""How often a day's message is tried where whoever carries it said that it was not the time."""

LATER = "later"
"""How the outcome begins of what was certainly not delivered and may be tried again."""


@dataclass(frozen=True, slots=True)
class DayStands:
    """What of a household's day decides.

    Attributes:
        day: The household day.
        paused: Whether it rests.
        lapsed_since: The first day of the lapse that lasts; None: there is none.
        without: In a lapse, days without a mark before this one, that led to it and since.
        open: Lines of the list without a mark.
    """

    day: date
    paused: bool
    lapsed_since: date | None
    without: int
    open: int


@dataclass(frozen=True, slots=True)
class Due:
    """A message that is due.

    Attributes:
        kind: About the day, or in a lapse the one after a week or the one after three.
        names: What has to be claimed before it is sent: the day or a further try of it, and the lapse's own.
    """

    kind: Kind
    names: tuple[str, ...]


def due(stands: DayStands, sent: Mapping[str, str]) -> Due | None:
    """What is due on a day, if anything.

    Args:
        stands: The household's day.
        sent: What the person was sent before, by name, with what came of it.
    """
    turn = _next_try(stands.day, sent)
    kind = _kind(stands)
    if turn is None or kind is None:
        return None
    if stands.lapsed_since is None:
        return Due(kind, (turn,))
    name = lapse_name(stands.lapsed_since, kind)
    if name not in sent:
        return Due(kind, (turn, name))
    # It was sent on an earlier day, unless it is today's that is tried again.
    return Due(kind, (turn,)) if day_name(stands.day) in sent else None


def _kind(stands: DayStands) -> Kind | None:
    if stands.paused:
        return None
    if stands.lapsed_since is None:
        return "day" if stands.open else None
    if stands.without < A_WEEK:
        return None
    return "week" if stands.without < THREE_WEEKS else "weeks"


def _next_try(day: date, sent: Mapping[str, str]) -> str | None:
    """The name under which a day's message is tried now; None if it must not be any more.

    A try whose outcome is not known may have arrived, so there is no other after it.
    """
    for number in range(1, MOST_TRIES + 1):
        name = day_name(day, number)
        if name not in sent:
            return name
        if not sent[name].startswith(LATER):
            return None
    return None


def day_name(day: date, number: int = 1) -> str:
    """What a try of a day's message is called."""
    return day.isoformat() if number == 1 else f"{day.isoformat()}/{number}"


def lapse_name(since: date, kind: Kind) -> str:
    """What a message of the lapse that began on a day is called."""
    return f"lapse/{since.isoformat()}/{kind}"
