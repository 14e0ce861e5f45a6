"""A first division of a home: its rooms put together into areas, with the starter lists of their kinds."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import accumulate, pairwise
from typing import TYPE_CHECKING

from coach.areas.rules.model import NAME_LENGTH, TITLE_LENGTH, Area, DetailTask, TaskList, checked
from coach.areas.rules.rotation import MINUTES_A_WEEK, MOST_AREAS
from coach.course.slugs import free_slug
from coach.errors import Malformed

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Sequence

    from coach.course.rooms import RoomKind, RoomTask

VISITS = 4
"""An area is made as large as about so many weeks of work."""

USUAL_AREAS = 5
"""A home of so many rooms or more is divided into no fewer areas, so that each has a turn every few weeks."""

STRANGERS_COST = 120**2
"""Two rooms that do not belong together make an area as bad as two hours more would."""

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
    """

    name: str
    kind: RoomKind | None

    @property
    def minutes(self) -> int:
        """What it weighs when areas are made: the minutes of its list, or a week's for one without a list."""
        return self.kind.minutes if self.kind else MINUTES_A_WEEK

    @property
    def family(self) -> str | None:
        """The kind it is best taken together with, its own where none is named; none without a kind."""
        return (self.kind.beside or self.kind.id) if self.kind else None


def proposed(
    rooms: Sequence[Room], kinds: Sequence[RoomKind], new_id: Callable[[], str], areas: int | None = None
) -> tuple[Area, ...]:
    """A division of a home into areas.

    Rooms of a kind, and kinds that are best taken together, come next to each other; then the row of rooms is
    cut so that the areas' minutes are as even as can be.

    Args:
        rooms: As the household named them.
        kinds: All kinds in their order.
        new_id: Gives each task its id.
        areas: How many are wanted; without it so many that one takes about four weeks of an hour.

    Raises:
        Malformed: There is no room, there are too many, or so many areas cannot be made of them.
    """
    check_number(len(rooms))
    most = min(len(rooms), MOST_AREAS)
    if areas is not None and not 1 <= areas <= most:
        can = "One room makes one area" if len(rooms) == 1 else f"{len(rooms)} rooms make 1 to {most} areas"
        raise Malformed(f"{can}, not {areas}. Choose another number.")
    row = in_a_row(rooms, kinds)
    weights = [room.minutes for room in row]
    by_minutes = -(-sum(weights) // (VISITS * MINUTES_A_WEEK))
    count = areas or min(most, max(by_minutes, USUAL_AREAS))
    strangers = [one.family != other.family for one, other in pairwise(row)]
    made: list[Area] = []
    for first, last in pairwise(cuts(weights, strangers, count)):
        made.append(area_of(row[first:last], {area.id for area in made}, new_id))
    return checked(made)


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
    """The rooms by the order of the kinds, those best taken together side by side; rooms of no kind last."""
    places = {kind.id: place for place, kind in enumerate(kinds)}

    def place(room: Room) -> tuple[int, int]:
        own = places[room.kind.id] if room.kind else len(kinds)
        return places.get(room.family or "", own), own

    return sorted(rooms, key=place)


def cuts(weights: Sequence[int], strangers: Sequence[bool], parts: int) -> list[int]:
    """Where to cut a row into so many parts, so that the parts' costs sum up to the least.

    A part costs the square of its weight, and something more for every two neighbours in it that are
    strangers.

    Args:
        weights: Of what stands in the row.
        strangers: For each two neighbours, whether they do not belong together.
        parts: At most as many as there are weights.

    Returns:
        The places of the cuts, from 0 to the row's length; of equal divisions the one that cuts earlier.
    """
    weight, strange = [0, *accumulate(weights)], [0, 0, *accumulate(strangers)]

    def cost(first: int, last: int) -> int:
        return (weight[last] - weight[first]) ** 2 + STRANGERS_COST * (strange[last] - strange[first + 1])

    best: dict[int, tuple[int, list[int]]] = {0: (0, [0])}
    for _ in range(parts):
        best = {
            end: min(
                (known + cost(at, end), [*places, end]) for at, (known, places) in best.items() if at < end
            )
            for end in range(min(best) + 1, len(weights) + 1)
        }
    return best[len(weights)][1]


def area_of(rooms: Sequence[Room], taken: Collection[str], new_id: Callable[[], str]) -> Area:
    """An area of these rooms with the tasks of their kinds, which say their room where it has several."""
    name = name_of([room.name for room in rooms])
    detail, declutter = (
        tuple(
            _task(task, room.name if len(rooms) > 1 else None, new_id())
            for room in rooms
            if room.kind
            for task in (room.kind.detail if which is TaskList.DETAIL else room.kind.declutter)
        )
        for which in TaskList
    )
    return Area(free_id(name, taken), name, tuple(room.name for room in rooms), detail, declutter)


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
