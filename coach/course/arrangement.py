"""Which row and column each step of a picture stands in, so that few of the links cross."""

from __future__ import annotations

from bisect import bisect_right, insort
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cache
from itertools import cycle, pairwise, permutations
from random import Random
from typing import TYPE_CHECKING

from coach.course.graph import Needs, cycles, order
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

_CROSSING = 100  # a crossing is worse than any detour
_CROWD = 5
_WORK = 40_000  # rows that links pass: some tenths of a second


@dataclass(frozen=True, slots=True)
class Arrangement:
    """Where the steps stand and how the links run.

    Attributes:
        slots: Row and column of every step.
        rows: How many rows there are.
        routes: For each link, its lanes from the row of its first step to the row of its second; the lanes at
            both ends are those of the steps' own columns.
        columns: How many columns there are.
        apart: If the last column is kept for the steps that stand beside the others, the last row of these;
            below it those beside have every column.
    """

    slots: Slots
    rows: int
    routes: Routes
    columns: int
    apart: int | None


def arrangement(graph: Graph, beside: frozenset[str] = frozenset(), columns: int = COLUMNS) -> Arrangement:
    """Arrange a graph: every step in a row below all that it comes after, those `beside` in the last column.

    Below the last row of the others, those beside have every column. Where all or none stand beside, or
    there is but one column, every column is for every step.
    """
    sound = _without_cycles(graph)
    place = {step: index for index, step in enumerate(sound)}
    links = sorted(telling_links(sound), key=lambda link: (place[link[0]], place[link[1]]))
    apart = columns > 1 and bool(beside & sound.keys()) and bool(sound.keys() - beside)
    ground = _Ground(sound, links, columns, beside if apart else frozenset(), len(sound))
    if apart:
        slots = ground.placed()
        ground = replace(ground, last=max(slots[step][0] for step in sound if step not in beside))
    slots = _Exchanges(ground).best(ground.placed())
    rows = 1 + max((row for row, _ in slots.values()), default=-1)
    return Arrangement(slots, rows, _routes(slots, links, columns), columns, ground.last if apart else None)


@dataclass(frozen=True, slots=True)
class _Ground:
    """What is arranged, and where it may stand.

    Attributes:
        graph: The needs of every step, without cycles.
        links: The links that are drawn.
        beside: The steps that stand in the last column.
        last: The last row in which others may stand.
        followers: The steps that come after each one.
    """

    graph: Graph
    links: Sequence[Link]
    columns: int
    beside: frozenset[str]
    last: int
    followers: dict[str, list[str]] = field(default_factory=dict, init=False)

    def __post_init__(self) -> None:
        for step, needs in self.graph.items():
            for name in needs.names:
                self.followers.setdefault(name, []).append(step)

    def zone(self, step: str, row: int) -> tuple[int, ...]:
        """The columns a step may stand in in a row."""
        if step in self.beside:
            return tuple(range(self.columns - 1 if row <= self.last else 0, self.columns))
        return tuple(range(self.columns - bool(self.beside) if row <= self.last else 0))

    def placed(self) -> Slots:
        """Slots to begin with: rows as the course goes on, columns near those that each step comes after."""
        slots: dict[str, Slot] = {}
        above: dict[str, list[str]] = {}
        for source, target in self.links:
            above.setdefault(target, []).append(source)
        for (row, zone), steps in sorted(self._filled().items()):
            wanted = [_barycentre(above.get(step, ()), slots, zone) for step in steps]
            nearest = min(
                permutations(zone, len(steps)),
                key=lambda columns, wanted=wanted: sum(  # type: ignore[misc]  # a default that is bound early
                    abs(want - column) for want, column in zip(wanted, columns, strict=True)
                ),
            )
            slots |= {step: (row, column) for step, column in zip(steps, nearest, strict=True)}
        return slots

    def _filled(self) -> dict[tuple[int, tuple[int, ...]], list[str]]:
        """For each row and zone its steps: each in the first row with room below all that it comes after."""
        rows: dict[str, int] = {}
        filled: dict[tuple[int, tuple[int, ...]], list[str]] = {}
        for step in order(self.graph):
            row = max((rows[name] + 1 for name in self.graph[step].names if name in rows), default=0)
            while len(filled.get((row, self.zone(step, row)), ())) == len(self.zone(step, row)):
                row += 1
            rows[step] = row
            filled.setdefault((row, self.zone(step, row)), []).append(step)
        return filled

    def moved(self, slots: Slots, step: str, slot: Slot, other: str | None) -> Slots | None:
        """The slots with a step in another one, exchanged with what stands there; none if that may not be."""
        changed = {**slots, step: slot} | ({other: slots[step]} if other else {})
        if not all(self._may_stand(name, changed) for name in (step, other) if name):
            return None
        return changed

    def _may_stand(self, step: str, slots: Slots) -> bool:
        row, column = slots[step]
        return (
            column in self.zone(step, row)
            and all(slots[name][0] < row for name in self.graph[step].names if name in slots)
            and all(slots[name][0] > row for name in self.followers.get(step, ()))
        )


class _Exchanges:
    """Exchanges of neighbours that better the slots, as many as a bounded amount of work allows.

    The shuffles come from a fixed seed, so that a graph is always drawn in the same way.
    """

    def __init__(self, ground: _Ground) -> None:
        self.ground = ground
        self.work = _WORK
        self.random = Random(0)  # noqa: S311 no secret depends on it

    def best(self, plain: Slots) -> Slots:
        """The best that exchanges make of the slots, and then of that when shaken."""
        least, slots = self.bettered(plain, self.cost(plain))
        rows = sorted({row for row, _ in slots.values()})
        for row in cycle(rows or [0]):
            if self.work <= 0 or least < _CROSSING:
                break
            shaken = self.shaken(slots, row)
            cost, other = self.bettered(shaken, self.cost(shaken))
            if cost <= least:
                least, slots = cost, other
        return slots

    def shaken(self, slots: Slots, row: int) -> Slots:
        """The same slots, with those of one row dealt out anew."""
        zones: dict[tuple[int, ...], list[str]] = {}
        for step, slot in slots.items():
            if slot[0] == row:
                zones.setdefault(self.ground.zone(step, row), []).append(step)
        dealt = dict(slots)
        for zone, steps in zones.items():
            columns = self.random.sample(zone, len(steps))
            dealt |= {step: (row, column) for step, column in zip(steps, columns, strict=True)}
        return dealt

    def bettered(self, slots: Slots, cost: int) -> tuple[int, Slots]:
        """Take every exchange that lowers the cost until none does or no more are left."""
        before = -1
        while before != cost:
            before = cost
            for step in slots:
                for moved in self.exchanges(slots, step):
                    if self.work <= 0:
                        return cost, slots
                    other = self.cost(moved)
                    if other < cost:
                        slots, cost = moved, other
                        break
        return cost, slots

    def exchanges(self, slots: Slots, step: str) -> Iterator[Slots]:
        """All that comes of moving a step within its row, or exchanging it with one of the row below."""
        here, column = slots[step]
        there = {slot: name for name, slot in slots.items() if slot[0] in (here, here + 1)}
        for row in (here, here + 1):
            for slot in ((row, other) for other in self.ground.zone(step, row)):
                if slot == (here, column) or (row > here and slot not in there):
                    continue
                moved = self.ground.moved(slots, step, slot, there.get(slot))
                if moved is not None:
                    yield moved

    def cost(self, slots: Slots) -> int:
        """The cost of the slots; what it takes to tell is taken off the work left."""
        links = self.ground.links
        self.work -= len(slots) + sum(slots[target][0] - slots[source][0] for source, target in links)
        return _cost(slots, links, self.ground.columns)


def _barycentre(names: Sequence[str], slots: Slots, zone: Sequence[int]) -> float:
    """The mean column of those that a step comes after; where it comes after none, the middle."""
    columns = [slots[name][1] for name in names if name in slots]
    return sum(columns) / len(columns) if columns else sum(zone) / len(zone)


def _without_cycles(graph: Graph) -> dict[str, Needs]:
    """The graph with one step of each cycle set free, so that even a household's odd step can be drawn."""
    sound = dict(graph)
    while circles := list(cycles(sound)):
        sound |= {circle[0]: Needs() for circle in circles}
    return sound


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


def _cost(slots: Slots, links: Sequence[Link], columns: int) -> int:
    """Crossings first, then links that crowd one lane, then how far links run sideways."""
    routes = _routes(slots, links, columns)
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


def _routes(slots: Slots, links: Sequence[Link], columns: int) -> dict[Link, tuple[Lane, ...]]:
    taken = set(slots.values())
    rows = range(1 + max((row for row, _ in taken), default=-1))
    free = [_free_lanes(tuple((row, column) not in taken for column in range(columns))) for row in rows]
    return {link: _route(slots[link[0]], slots[link[1]], free) for link in links}


@cache
def _free_lanes(empty: tuple[bool, ...]) -> tuple[Lane, ...]:
    """The lanes of a row that run through no step, by which of its columns are empty."""
    return tuple(lane for lane in range(2 * len(empty) + 1) if lane % 2 == 0 or empty[lane // 2])


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
