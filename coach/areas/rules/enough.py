"""Is it enough: how often a whole list comes round, and what is too long or too rare for it (home rules)."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from coach.areas.rules.packing import fitting, visits
from coach.areas.rules.rotation import Mode, turn_of
from coach.ground.weeks import DAYS_IN_WEEK, WEEK

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from datetime import date

    from coach.areas.rules.model import Area, DetailTask
    from coach.areas.rules.rotation import Rotation


@dataclass(frozen=True, slots=True)
class Coverage:
    """How one area's detail list fits into its turns.

    Attributes:
        minutes: Minutes of the whole list.
        visits: Turns one pass takes, if all that is listed is done.
        weeks: Weeks from the start of a pass to the start of the next; 0 for an empty list.
        too_long: Tasks that take longer than the minutes a week.
        too_rare: Tasks that come round less often than their `every_days` asks for.
    """

    area: Area
    minutes: int
    visits: int
    weeks: int
    too_long: tuple[DetailTask, ...]
    too_rare: tuple[DetailTask, ...]


def coverage(areas: Sequence[Area], rotation: Rotation, week: date) -> tuple[Coverage, ...]:
    """The table of all areas, in order.

    In continuous mode the weeks between full passes are the visits times the number of areas, and by need
    they are counted the same way, as equal areas would take their turns. By month they
    depend on the months' lengths, so they are counted from the area's first turn in or after `week`, with the
    shared minutes as they fall; catch-up weeks are left out. Skips and swaps are left aside.
    """
    plain = replace(rotation, skipped=frozenset(), swapped=())
    return tuple(_coverage(area, position, plain, week) for position, area in enumerate(areas, 1))


def _coverage(area: Area, position: int, rotation: Rotation, week: date) -> Coverage:
    minutes = [task.minutes for task in area.detail]
    if not minutes:
        taken, weeks = 0, 0
    elif rotation.mode is not Mode.MONTH:
        taken = visits(minutes, rotation.minutes_a_week)
        weeks = taken * rotation.areas
    else:
        taken, weeks = _by_month(minutes, _shares_of(rotation, position, week))
    return Coverage(
        area=area,
        minutes=sum(minutes),
        visits=taken,
        weeks=weeks,
        too_long=tuple(task for task in area.detail if task.minutes > rotation.minutes_a_week),
        too_rare=tuple(
            task
            for task in area.detail
            if task.every_days is not None and task.every_days < weeks * DAYS_IN_WEEK
        ),
    )


def _by_month(minutes: Sequence[int], turns: Iterator[tuple[date, int]]) -> tuple[int, int]:
    """The visits a pass takes and the weeks to the next, from an area's turns: week and minutes of each."""
    left, taken = list(minutes), 0
    first, share = next(turns)
    week = first
    while left:
        left = left[fitting(left, share) :]
        taken += 1
        week, share = next(turns)
    return taken, (week - first).days // DAYS_IN_WEEK


def _shares_of(rotation: Rotation, position: int, week: date) -> Iterator[tuple[date, int]]:
    while True:
        # By month a week's areas follow from the week alone, whatever its turn's number is.
        turn = turn_of(rotation, week, 0)
        if position in turn.areas:
            yield week, turn.minutes[turn.areas.index(position)]
        week += WEEK
