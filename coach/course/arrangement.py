"""Which row and column each step of a picture stands in, so that few of the links cross."""

from __future__ import annotations

from bisect import bisect_right, insort
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from itertools import accumulate, chain, combinations, cycle, pairwise, product, takewhile
from random import Random
from typing import TYPE_CHECKING

from coach.course.graph import Needs, cycles, depths
from coach.course.links import telling_links

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from coach.course.graph import Graph

COLUMNS = 3

Link = tuple[str, str]
Slot = tuple[int, int]
"""Row and column."""
Slots = Mapping[str, Slot]
Lane = int
"""A way down through a row: odd ones run through a column where that is empty, even ones beside columns."""

Routes = Mapping[Link, tuple[Lane, ...]]
Pass = tuple[int, Lane]
"""Where links pass a row: the row and the lane."""
Way = tuple[Lane, int]
"""A lane, and which of the links that share it."""
Line = tuple[Way, Way]
"""The piece of a link between two rows."""

# The lanes that run through no step, by which columns are empty.
_FREE_LANES = {
    empty: tuple(lane for lane in range(2 * COLUMNS + 1) if lane % 2 == 0 or empty[lane // 2])
    for empty in product((False, True), repeat=COLUMNS)
}
_CROSSING = 100  # a crossing is worse than any detour
_CROWD = 5
_SWEEPS = 8
_WORK = 40_000  # rows that links pass: some tenths of a second
_MIDDLE = (COLUMNS - 1) / 2


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
    routes: Routes


def arrangement(graph: Graph) -> Arrangement:
    """Arrange a graph: a layer for each depth, a layer in as many rows as it needs, links leading down."""
    sound = _without_cycles(graph)
    place = {step: index for index, step in enumerate(sound)}
    links = sorted(telling_links(sound), key=lambda link: (place[link[0]], place[link[1]]))
    layers = _layers(sound)
    slots = _Exchanges(layers, links).best(_in_course_order(layers), _swept(layers, links))
    rows = 1 + max((row for row, _ in slots.values()), default=-1)
    return Arrangement(slots, rows, _routes(slots, links))


class _Exchanges:
    """Exchanges within layers that better the slots, as many as a bounded amount of work allows.

    The shuffles come from a fixed seed, so that a graph is always drawn in the same way.
    """

    def __init__(self, layers: Sequence[Sequence[str]], links: Sequence[Link]) -> None:
        self.layers = layers
        self.links = links
        self.work = _WORK
        self.random = Random(0)  # noqa: S311 no secret depends on it

    def best(self, plain: Slots, sweeps: Iterator[Slots]) -> Slots:
        """The best that exchanges make of plain slots or of the best sweep, and then of that when shaken."""
        swept = min(self.affordable(sweeps), key=self.cost)
        bettered = [self.bettered(slots, self.cost(slots)) for slots in (plain, swept)]
        least, slots = min(bettered, key=lambda pair: pair[0])
        for layer in cycle([layer for layer in self.layers if len(layer) > 1] or [()]):
            if self.work <= 0 or least < _CROSSING:
                break
            shaken = self.shaken(slots, layer)
            cost, other = self.bettered(shaken, self.cost(shaken))
            if cost <= least:
                least, slots = cost, other
        return slots

    def affordable(self, sweeps: Iterator[Slots]) -> Iterator[Slots]:
        """The first sweep, and further ones as long as work is left."""
        yield next(sweeps)
        yield from takewhile(lambda _: self.work > 0, sweeps)

    def shaken(self, slots: Slots, layer: Sequence[str]) -> Slots:
        """The same slots, with those of one layer dealt out anew."""
        places = self.random.sample([slots[step] for step in layer], len(layer))
        return {**slots, **dict(zip(layer, places, strict=True))}

    def bettered(self, slots: Slots, cost: int) -> tuple[int, Slots]:
        """Take every exchange that lowers the cost until none does or no more are left."""
        before = -1
        while before != cost:
            before = cost
            for moved in (moved for layer in self.layers for moved in _moves(layer, slots)):
                if self.work <= 0:
                    return cost, slots
                other = self.cost(moved)
                if other < cost:
                    slots, cost = moved, other
        return cost, slots

    def cost(self, slots: Slots) -> int:
        """The cost of the slots; what it takes to tell is taken off the work left."""
        self.work -= len(slots) + sum(slots[target][0] - slots[source][0] for source, target in self.links)
        return _cost(slots, self.links)


def _in_course_order(layers: Sequence[Sequence[str]]) -> Slots:
    """Fill the layers' rows as evenly as their length allows."""
    tops = _tops(layers)
    middle = dict.fromkeys(chain.from_iterable(layers), _MIDDLE)
    return {
        step: slot
        for layer, top in zip(layers, tops, strict=True)
        for step, slot in _dealt(layer, middle, top)
    }


def _tops(layers: Sequence[Sequence[str]]) -> list[int]:
    """The first row of each layer."""
    rows = (-(-len(layer) // COLUMNS) for layer in layers[:-1])
    return list(accumulate(rows, initial=0))[: len(layers)]


def _swept(layers: Sequence[Sequence[str]], links: Sequence[Link]) -> Iterator[Slots]:
    """What sweeps down and up in turns make of the slots.

    Each sets the steps of a layer in the order of their barycentres: where on average those stand that they
    come after, or on the way up those that come after them.
    """
    above: dict[str, list[str]] = {}
    below: dict[str, list[str]] = {}
    for source, target in links:
        above.setdefault(target, []).append(source)
        below.setdefault(source, []).append(target)
    tops = _tops(layers)
    slots: dict[str, Slot] = {}
    order = [list(layer) for layer in layers]
    for sweep in range(_SWEEPS):
        down = sweep % 2 == 0
        for level in range(len(layers)) if down else reversed(range(len(layers))):
            beside = above if down else below
            wanted = {step: _barycentre(step, beside, slots) for step in order[level]}
            order[level].sort(key=wanted.__getitem__)
            slots |= _dealt(order[level], wanted, tops[level])
        yield dict(slots)


def _barycentre(step: str, beside: Mapping[str, Sequence[str]], slots: Slots) -> float:
    """The mean column of a step's neighbours; where it has none, its own, and at first the middle."""
    columns = [slots[name][1] for name in beside.get(step, ())]
    if columns:
        return sum(columns) / len(columns)
    return slots[step][1] if step in slots else _MIDDLE


def _dealt(layer: Sequence[str], wanted: Mapping[str, float], top: int) -> Iterator[tuple[str, Slot]]:
    """Deal an ordered layer out to its rows, each step as near to where it is wanted as the order allows."""
    rows = -(-len(layer) // COLUMNS)
    for row in range(rows):
        steps = layer[row::rows]
        columns = min(
            combinations(range(COLUMNS), len(steps)),
            key=lambda columns: sum(
                abs(wanted[step] - column) for step, column in zip(steps, columns, strict=True)
            ),
        )
        yield from ((step, (top + row, column)) for step, column in zip(steps, columns, strict=True))


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


def shared_lanes(slots: Slots, routes: Routes) -> dict[Pass, list[str]]:
    """For each row and lane in it the first steps of the links that pass there, from left to right.

    They keep the order of the lanes they come from and go to, so that they seldom cross on the way in or out.
    """
    sources: dict[Pass, dict[str, int]] = {}
    for (source, _), lanes in routes.items():
        for row, (before, lane, after) in enumerate(
            zip(lanes, lanes[1:], lanes[2:], strict=False), slots[source][0] + 1
        ):
            sources.setdefault((row, lane), {})[source] = before + after
    return {place: sorted(sharing, key=sharing.__getitem__) for place, sharing in sources.items()}


def _cost(slots: Slots, links: Sequence[Link]) -> int:
    """Crossings first, then links that crowd one lane, then how far links run sideways."""
    routes = _routes(slots, links)
    shared = shared_lanes(slots, routes)
    rank = {(*place, source): at for place, sharing in shared.items() for at, source in enumerate(sharing)}
    between: dict[int, set[Line]] = {}
    for (source, _), lanes in routes.items():
        top = slots[source][0]
        ways = [(lane, rank.get((row, lane, source), 0)) for row, lane in enumerate(lanes, top)]
        for row, line in enumerate(pairwise(ways), top):
            between.setdefault(row, set()).add(line)
    crowded = sum((len(sharing) - 1) ** 2 for sharing in shared.values())
    sideways = sum(abs(above - below) for lines in between.values() for (above, _), (below, _) in lines)
    return _CROSSING * sum(map(_crossings, between.values())) + _CROWD * crowded + sideways


def _crossings(lines: Iterable[Line]) -> int:
    """How many of the lines between two rows cross: those that end left of one that begins left of them."""
    ends: list[Way] = []
    crossings = 0
    for _, end in sorted(lines):
        crossings += len(ends) - bisect_right(ends, end)
        insort(ends, end)
    return crossings


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
