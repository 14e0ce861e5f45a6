"""A first division of a home: its rooms put together into areas, with the starter lists of their kinds."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import accumulate, pairwise
from typing import TYPE_CHECKING

from coach.areas.rules.choosing import VISITS, chosen, ranked
from coach.areas.rules.model import (
    MOST_TASKS,
    NAME_LENGTH,
    TITLE_LENGTH,
    Area,
    DetailTask,
    Divided,
    checked,
)
from coach.areas.rules.rotation import MINUTES_A_WEEK, MOST_AREAS
from coach.course.slugs import free_slug
from coach.errors import Malformed

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Sequence

    from coach.course.rooms import RoomKind, RoomTask

STRANGERS_TURNS = 2
"""Two rooms of another use make an area as bad as so many turns more would."""

MOST_AT_FIRST = 60
"""How many rooms a home is divided by; more can be added to its areas later."""

NAMED_ROOMS = 3
ID_LENGTH = 40
RESERVED = frozenset({"arrange", "new", "plan", "proposal", "rooms", "set-up", "undo", "week", "weeks"})
"""Ids no area gets, since addresses beside the areas have them."""


@dataclass(frozen=True, slots=True)
class Room:
    """A room of the home.

    Attributes:
        kind: The kind whose starter lists it gets; none if its name tells none.
        none_of_these: Whether it is said to be of no kind, so that nobody need ask.
    """

    name: str
    kind: RoomKind | None
    none_of_these: bool = False

    @property
    def is_unknown(self) -> bool:
        """Whether its kind is neither known nor said to be none."""
        return self.kind is None and not self.none_of_these

    @property
    def minutes(self) -> int:
        """Minutes of the detail list of its kind; none without one."""
        return self.kind.minutes if self.kind else 0

    @property
    def use(self) -> str | None:
        """What it is for, or its kind where that is not told; none without a kind."""
        return (self.kind.use or self.kind.id) if self.kind else None

    def weight(self, minutes_a_week: int) -> int:
        """What it weighs when areas are made: at most what one holds, and a turn where it has no list."""
        return min(self.minutes, VISITS * minutes_a_week) or minutes_a_week


@dataclass(frozen=True, slots=True)
class Division:
    """A home as it is proposed to be divided.

    Attributes:
        areas: In order.
        by_minutes: How many areas the minutes make, whether or not so many were wanted.
    """

    areas: Divided
    by_minutes: int


def proposed(
    rooms: Sequence[Room],
    kinds: Sequence[RoomKind],
    new_id: Callable[[], str],
    areas: int | None = None,
    minutes_a_week: int = MINUTES_A_WEEK,
) -> Division:
    """A division of a home into areas.

    Rooms stand by the order of the kinds, so that those of one use come next to each other; then the row of
    rooms is cut so that the areas' minutes are as even as can be.

    Args:
        rooms: As the household named them.
        kinds: All kinds in their order.
        new_id: Gives each task its id.
        areas: How many are wanted; without it as many as the minutes make.
        minutes_a_week: Of one area's turn.

    Raises:
        Malformed: There is no room, there are too many, or so many areas cannot be made of them.
    """
    check_number(len(rooms))
    most = min(len(rooms), MOST_AREAS)
    if areas is not None and not 1 <= areas <= most:
        can = "One room makes one area" if len(rooms) == 1 else f"{len(rooms)} rooms make 1 to {most} areas"
        raise Malformed(f"{can}, not {areas}. Choose another number.")
    row = in_a_row(rooms, kinds)
    by_minutes = how_many(row, minutes_a_week)
    made: list[Area] = []
    for first, last in pairwise(_cut(row, minutes_a_week, areas or by_minutes)):
        made.append(area_of(row[first:last], {area.id for area in made}, new_id, minutes_a_week))
    return Division(checked(made), by_minutes)


def how_many(row: Sequence[Room], minutes_a_week: int) -> int:
    """How many areas the minutes make, from 1 to 12 and to the number of rooms.

    All minutes over those of `VISITS` turns lie between two numbers. The one is taken whose areas are on
    average nearer to so many turns, and of equal ones the smaller.
    """
    weights = [room.weight(minutes_a_week) for room in row]
    full, most = VISITS * minutes_a_week, min(len(row), MOST_AREAS)

    def off(count: int) -> float:
        parts = pairwise(_cut(row, minutes_a_week, count))
        return sum(abs(sum(weights[first:last]) - full) for first, last in parts) / count

    fewer = min(most, max(1, sum(weights) // full))
    return min(range(fewer, min(most, fewer + 1) + 1), key=off)


def _cut(row: Sequence[Room], minutes_a_week: int, parts: int) -> list[int]:
    weights = [room.weight(minutes_a_week) for room in row]
    strangers = [one.use != other.use for one, other in pairwise(row)]
    return cuts(weights, strangers, parts, (STRANGERS_TURNS * minutes_a_week) ** 2)


def check_number(rooms: int) -> None:
    """See that a home can be divided by so many rooms, which takes no time, before anything that does.

    Raises:
        Malformed: There is no room, or there are too many.
    """
    if not rooms:
        raise Malformed("No room is named. Pick the rooms your home has, or type them.")
    if rooms > MOST_AT_FIRST:
        raise Malformed(
            f"These are {rooms:,} rooms. Name at most {MOST_AT_FIRST} at first and add others later."
        )


def in_a_row(rooms: Sequence[Room], kinds: Sequence[RoomKind]) -> list[Room]:
    """The rooms by the order of the kinds, those of one use side by side; rooms of no kind last."""
    places = {kind.id: place for place, kind in enumerate(kinds)}
    uses: dict[str, int] = {}
    for place, kind in enumerate(kinds):
        uses.setdefault(kind.use or kind.id, place)

    def place_of(room: Room) -> tuple[int, int]:
        own = places[room.kind.id] if room.kind else len(kinds)
        return uses.get(room.use or "", own), own

    return sorted(rooms, key=place_of)


def cuts(weights: Sequence[int], strangers: Sequence[bool], parts: int, strangers_cost: int) -> list[int]:
    """Where to cut a row into so many parts, so that the parts' costs sum up to the least.

    A part costs the square of its weight, and something more for every two neighbours in it that are
    strangers.

    Args:
        weights: Of what stands in the row.
        strangers: For each two neighbours, whether they do not belong together.
        parts: At most as many as there are weights.
        strangers_cost: What two such neighbours cost.

    Returns:
        The places of the cuts, from 0 to the row's length; of equal divisions the one that cuts earlier.
    """
    weight, strange = [0, *accumulate(weights)], [0, 0, *accumulate(strangers)]

    def cost(first: int, last: int) -> int:
        return (weight[last] - weight[first]) ** 2 + strangers_cost * (strange[last] - strange[first + 1])

    best: dict[int, tuple[int, list[int]]] = {0: (0, [0])}
    for _ in range(parts):
        best = {
            end: min(
                (known + cost(at, end), [*places, end]) for at, (known, places) in best.items() if at < end
            )
            for end in range(min(best) + 1, len(weights) + 1)
        }
    return best[len(weights)][1]


def area_of(
    rooms: Sequence[Room],
    taken: Collection[str],
    new_id: Callable[[], str],
    minutes_a_week: int = MINUTES_A_WEEK,
    beside: Sequence[int] = (),
) -> Area:
    """An area of these rooms with the tasks of their kinds, which say their room where it has several.

    Args:
        rooms: In order.
        taken: Ids that other areas have.
        new_id: Gives each task its id; they are asked for in working order.
        minutes_a_week: Of its turn.
        beside: Minutes of tasks that its list has already.
    """
    name = name_of([room.name for room in rooms])
    lists = [room.kind.detail if room.kind else () for room in rooms]
    begins = chosen(lists, minutes_a_week, beside)
    further = frozenset([place for place in ranked(lists) if place not in begins][:MOST_TASKS])
    detail: list[DetailTask] = []
    suggestions: list[DetailTask] = []
    for place in sorted(begins | further):
        task = _task(lists[place[0]][place[1]], _said(rooms, place[0]), new_id())
        (detail if place in begins else suggestions).append(task)
    declutter = tuple(
        _task(task, _said(rooms, at), new_id())
        for at, room in enumerate(rooms)
        for task in (room.kind.declutter if room.kind else ())
    )
    names = tuple(room.name for room in rooms)
    return Area(free_id(name, taken), name, names, tuple(detail), declutter, tuple(suggestions))


def _said(rooms: Sequence[Room], at: int) -> str | None:
    """The room that a task's title says: none in an area of one."""
    return rooms[at].name if len(rooms) > 1 else None


def _task(task: RoomTask, room: str | None, task_id: str) -> DetailTask:
    title = in_room(task.title, room) if room else task.title
    return DetailTask(task_id, title, task.minutes, task.every_days, task.caution, task.source)


def in_room(title: str, room: str) -> str:
    """A task's title with its room before it, if that is short enough."""
    said = f"{room}: {title}"
    return said if len(said) <= TITLE_LENGTH else title


def name_of(rooms: Sequence[str]) -> str:
    """What an area of these rooms is called."""
    *first, last = rooms
    if len(rooms) > NAMED_ROOMS:
        name = f"{rooms[0]}, {rooms[1]} and {len(rooms) - 2} more"
    elif any(" and " in room or " or " in room for room in rooms):
        name = ", ".join(rooms)
    else:
        name = f"{', '.join(first)} and {last}" if first else last
    return name if len(name) <= NAME_LENGTH else f"{rooms[0][: NAME_LENGTH - 12]} and more"


def free_id(name: str, taken: Collection[str]) -> str:
    """An id made from an area's name, which is no other area's and no address beside the areas."""
    return free_slug(name, RESERVED.union(taken), "area", ID_LENGTH)
