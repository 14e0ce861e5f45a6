"""Which part of the day it is: by the clock, and by the hours at which a household marks its lines."""

from __future__ import annotations

from datetime import datetime, time, timedelta
from statistics import median_low
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from coach.habits.notes import SlotName

SLOTS: tuple[SlotName, ...] = ("morning", "anytime", "evening")
"""The parts of a day in their order."""

MORNING_UNTIL = time(11)
"""Until then it is morning on a household's clock, where nothing is known of its hours."""

EVENING_FROM = time(17)
"""From then on, to the start of the next day, it is evening where nothing is known of a household's hours."""

LEAD = 60
"""A part of the day begins so many minutes before the moment at which its lines are usually marked."""

FEWEST_MARKS = 5
"""From so few marks of a part on there is a usual moment."""

LOOKED_BACK = timedelta(days=14)
"""How far back the marks are looked at."""

_MINUTES = 24 * 60


def minutes_into(at: time, day_starts: time) -> int:
    """Minutes of a household day gone by at a time of its clock: 1,350 at 01:30, if days begin at 03:00."""
    return (at.hour * 60 + at.minute - day_starts.hour * 60 - day_starts.minute) % _MINUTES


def usual_moments(marked: Iterable[tuple[SlotName, int]]) -> dict[SlotName, int]:
    """The middle moment at which each part's lines were marked, for the parts with marks enough.

    Args:
        marked: For each mark its part of the day, and its minutes into the household day.
    """
    found: dict[SlotName, list[int]] = {}
    for slot, minute in marked:
        found.setdefault(slot, []).append(minute)
    return {slot: median_low(minutes) for slot, minutes in found.items() if len(minutes) >= FEWEST_MARKS}


def present_part(now: datetime, day_starts: time, usual: Mapping[SlotName, int]) -> SlotName:
    """The part of the day that is on.

    Within an hour of a part's usual moment it is that part, the nearest first. At other times it is the one
    that began last: an hour before its usual moment, or by the clock where it has none.

    Args:
        now: By the household's clock.
        day_starts: When its day begins.
        usual: Minutes into the day at which a part's lines are usually marked, where that is known.
    """
    minute = minutes_into(now.time(), day_starts)
    near = [(abs(minute - at), -SLOTS.index(slot), slot) for slot, at in usual.items()]
    if near and min(near)[0] <= LEAD:
        return min(near)[-1]
    begins = _by_clock(day_starts) | {slot: max(at - LEAD, 0) for slot, at in usual.items()}
    begun = [(at, SLOTS.index(slot), slot) for slot, at in begins.items() if at <= minute]
    return max(begun)[-1] if begun else SLOTS[0]


def _by_clock(day_starts: time) -> dict[SlotName, int]:
    return {
        "morning": 0,
        "anytime": minutes_into(MORNING_UNTIL, day_starts),
        "evening": minutes_into(EVENING_FROM, day_starts),
    }
