"""Which starter tasks an area begins with: the most needed ones that four turns hold (home rules)."""

from __future__ import annotations

from bisect import insort
from enum import IntEnum
from itertools import combinations
from typing import TYPE_CHECKING

from coach.areas.rules.model import MOST_TASKS
from coach.areas.rules.packing import visits

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence

    from coach.course.rooms import RoomTask

    Lists = Sequence[Sequence[RoomTask]]
    Place = tuple[int, int]

VISITS = 4
"""A pass through the list an area begins with takes at most so many turns."""

APART = {"acids": frozenset({"bleach", "mould", "caustic"})}
"""Tasks with such a caution need a turn of their own: those with one of the others are never in it."""


class Rank(IntEnum):
    """Why a task is taken before another."""

    INTERVAL = 0
    HYGIENE = 1
    REST = 2
    APART = 3


def rank(task: RoomTask) -> Rank:
    """How much a room needs a task.

    An interval that an authority names comes first, then hygiene, then the rest. What needs a turn of its own
    comes last, as only then it is known what else is on the list.
    """
    if task.caution in APART:
        return Rank.APART
    if task.every_days is not None:
        return Rank.INTERVAL
    return Rank.HYGIENE if task.hygiene else Rank.REST


def ranked(lists: Lists) -> list[Place]:
    """The places of all tasks, room and task each from 0, the most needed first.

    Tasks that are needed alike come by their place in their list, and then by their room.
    """
    places = [(room, at) for room, tasks in enumerate(lists) for at in range(len(tasks))]
    return sorted(places, key=lambda place: (rank(_at(lists, place)), place[1], place[0]))


def chosen(lists: Lists, minutes_a_week: int, beside: Sequence[int] = ()) -> frozenset[Place]:
    """The places of the tasks an area begins with.

    They are taken by rank, as many as a list holds, each if a pass through all that are taken then takes at
    most `VISITS` turns.

    Args:
        lists: Of the area's rooms, each in working order.
        minutes_a_week: Of a turn.
        beside: Minutes of tasks that stand on the area's list already. What is needed for hygiene or has an
            interval is taken as if they were not there, so that a room that is added brings that along.
    """
    taken: list[Place] = []
    for place in ranked(lists):
        if len(beside) + len(taken) >= MOST_TASKS:
            break
        tried = list(taken)
        insort(tried, place)
        tasks = [_at(lists, one) for one in tried]
        before = beside if rank(_at(lists, place)) > Rank.HYGIENE else ()
        minutes = [*before, *(task.minutes for task in tasks)]
        if visits(minutes, minutes_a_week) <= VISITS and not meeting(tasks, minutes_a_week):
            taken = tried
    return frozenset(taken)


def meeting(tasks: Sequence[RoomTask], minutes_a_week: int) -> bool:
    """Whether two tasks that are to be kept apart stand near enough on a list to come into one turn."""
    told = [(at, task.caution) for at, task in enumerate(tasks) if task.caution in _KEPT_APART]
    return any(
        _are_apart(one, other) and sum(task.minutes for task in tasks[first : last + 1]) <= minutes_a_week
        for (first, one), (last, other) in combinations(told, 2)
    )


_KEPT_APART: Collection[str | None] = frozenset(APART).union(*APART.values())


def _are_apart(one: str | None, other: str | None) -> bool:
    return other in APART.get(one or "", ()) or one in APART.get(other or "", ())


def _at(lists: Lists, place: Place) -> RoomTask:
    room, at = place
    return lists[room][at]
