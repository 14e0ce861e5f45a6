"""Which row and column each step of a picture stands in, so that few of the links cross."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from itertools import combinations, pairwise, product
from random import Random
from typing import TYPE_CHECKING

from coach.course.graph import Needs, cycles, depths, reduced

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from coach.course.graph import Graph

COLUMNS = 3

Link = tuple[str, str]
Slot = tuple[int, int]
"""Row and column."""
Slots = Mapping[str, Slot]
Lane = int
"""A way down through a row: odd ones run through a column where that is empty, even ones beside columns."""

# The lanes that run through no step, by which columns are empty.
_FREE_LANES = {
    empty: tuple(lane for lane in range(2 * COLUMNS + 1) if lane % 2 == 0 or empty[lane // 2])
    for empty in product((False, True), repeat=COLUMNS)
}
_CROSSING = 100  # a crossing is worse than any detour
_CROWD = 5
_ROUNDS = 10
_WORK = 1_000_000  # tries times links squared: some tenths of a second


@dataclass(frozen=True, slots=True)
class Arrangement:
    """Where the steps stand and how the links run.

    Attributes:
        slots: Row and column of every step.
        rows: How many rows there are.
        routes: For each link, its lanes from the row of its first step to the row of its second; the lanes at
            both ends are those of the steps' own columns.
    """

    slots: Slots
    rows: int
    routes: Mapping[Link, tuple[Lane, ...]]


def arrangement(graph: Graph) -> Arrangement:
    """Arrange a graph: a layer for each depth, a layer in as many rows as it needs, links leading down."""
    sound = _without_cycles(graph)
    place = {step: index for index, step in enumerate(sound)}
    links = sorted(reduced(sound), key=lambda link: (place[link[0]], place[link[1]]))
    slots = _Search(_layers(sound), links).best()
    rows = 1 + max((row for row, _ in slots.values()), default=-1)
    return Arrangement(slots, rows, _routes(slots, links))


class _Search:
    """A search for the slots with the lowest cost: climbing, then shaking one layer after another.

    The shuffles come from a fixed seed, so that a graph is always drawn in the same way.
    """

    def __init__(self, layers: Sequence[Sequence[str]], links: Sequence[Link]) -> None:
        self.layers = layers
        self.links = links
        self.tries = _WORK // (1 + len(links) ** 2)
        self.random = Random(0)  # noqa: S311 no secret depends on it

    def best(self) -> Slots:
        """Search until nothing more is gained or the tries are used up."""
        slots, least = self.climbed(_first_slots(self.layers))
        for layer in [layer for layer in self.layers if len(layer) > 1] * _ROUNDS:
            if self.tries <= 0 or least < _CROSSING:
                break
            other, cost = self.climbed(self.shaken(slots, layer))
            if cost <= least:
                slots, least = other, cost
        return slots

    def climbed(self, slots: Slots) -> tuple[Slots, int]:
        """Take every move that lowers the cost until none does; return the cost too."""
        least, before = _cost(slots, self.links), -1
        while before != least:
            before = least
            for moved in (moved for layer in self.layers for moved in _moves(layer, slots)):
                if self.tries <= 0:
                    return slots, least
                self.tries -= 1
                cost = _cost(moved, self.links)
                if cost < least:
                    slots, least = moved, cost
        return slots, least

    def shaken(self, slots: Slots, layer: Sequence[str]) -> Slots:
        """The same slots, with those of one layer dealt out anew."""
        places = self.random.sample([slots[step] for step in layer], len(layer))
        return {**slots, **dict(zip(layer, places, strict=True))}


def _without_cycles(graph: Graph) -> dict[str, Needs]:
    """The graph with one step of each cycle set free, so that even a household's odd step can be drawn."""
    sound = dict(graph)
    while circles := list(cycles(sound)):
        sound |= {circle[0]: Needs() for circle in circles}
    return sound


def _layers(graph: Graph) -> list[list[str]]:
    depth = depths(graph)
    return [
        [step for step in graph if depth[step] == level]
        for level in range(1 + max(depth.values(), default=-1))
    ]


def _first_slots(layers: Sequence[Sequence[str]]) -> Slots:
    """Fill the layers' rows in course order, as evenly as their length allows."""
    slots: dict[str, Slot] = {}
    row = 0
    for layer in layers:
        rows = -(-len(layer) // COLUMNS)
        for index, step in enumerate(layer):
            slots[step] = (row + index % rows, index // rows)
        row += rows
    return slots


def _moves(layer: Sequence[str], slots: Slots) -> Iterator[Slots]:
    """Every way to swap two steps of a layer, or to move one to an empty place of its row."""
    for one, other in combinations(layer, 2):
        yield {**slots, one: slots[other], other: slots[one]}
    taken = set(slots.values())
    for step in layer:
        row = slots[step][0]
        for column in range(COLUMNS):
            if (row, column) not in taken:
                yield {**slots, step: (row, column)}


def _cost(slots: Slots, links: Sequence[Link]) -> int:
    """Crossings first, then links that crowd one lane, then how far links run sideways."""
    between: dict[int, list[tuple[Lane, Lane]]] = {}
    sources: dict[tuple[int, Lane], set[str]] = {}
    for (source, _), lanes in _routes(slots, links).items():
        for row, (above, below) in enumerate(pairwise(lanes), slots[source][0]):
            between.setdefault(row, []).append((above, below))
            sources.setdefault((row, above), set()).add(source)
    crowded = sum((len(sharing) - 1) ** 2 for sharing in sources.values())
    sideways = sum(abs(above - below) for pairs in between.values() for above, below in pairs)
    return _CROSSING * sum(map(_crossings, between.values())) + _CROWD * crowded + sideways


def _crossings(pairs: list[tuple[Lane, Lane]]) -> int:
    """How many of the lines between two rows, each from a lane to a lane, cross."""
    return sum((one[0] - other[0]) * (one[1] - other[1]) < 0 for one, other in combinations(pairs, 2))


def _routes(slots: Slots, links: Sequence[Link]) -> dict[Link, tuple[Lane, ...]]:
    taken = set(slots.values())
    free = [_free_lanes(row, taken) for row in range(1 + max((row for row, _ in taken), default=-1))]
    return {link: _route(slots[link[0]], slots[link[1]], free) for link in links}


def _free_lanes(row: int, taken: set[Slot]) -> tuple[Lane, ...]:
    """The lanes of a row that run through no step."""
    return _FREE_LANES[tuple((row, column) not in taken for column in range(COLUMNS))]


def _route(source: Slot, target: Slot, free: Sequence[tuple[Lane, ...]]) -> tuple[Lane, ...]:
    """The lanes of a link that goes straight down where it can and else beside the steps in its way.

    Of the shortest ways it takes the one that turns early.
    """
    end = 2 * target[1] + 1
    lanes = [2 * source[1] + 1]
    for row in range(source[0] + 1, target[0]):
        lanes.append(_nearest(free[row], lanes[-1], end))
    return (*lanes, end)


@cache
def _nearest(lanes: tuple[Lane, ...], here: Lane, end: Lane) -> Lane:
    return min(lanes, key=lambda lane: (abs(lane - here) + abs(lane - end), abs(lane - end)))
