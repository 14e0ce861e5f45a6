"""The picture of a course's graph as geometry: fields, lanes and gates, readable at the width of a phone."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import accumulate, pairwise
from typing import TYPE_CHECKING

from coach.course.approach import Approach, Gate
from coach.course.arrangement import COLUMNS, Arrangement, arrangement, shared_lanes
from coach.course.graph import graph_of
from coach.course.lettering import LINE_HEIGHT, title_lines, widest_word, width

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from coach.course.approach import Point
    from coach.course.graph import Needs
    from coach.course.model import Step

WIDTH = 348
"""How wide the picture is."""
GAP = 16.5
"""How wide the ground between two columns is, where lanes run."""
LEAST_HEIGHT = 50
"""How high a field is at the least: a finger's width at 320 px too, so that a step can be tapped."""
PADDING = 24
"""How much of a field lies above and below its title, so that its pattern is seen."""
SIDES = 10
"""How much of a field lies left and right of its title."""
TURNING = 30
"""How high the ground between two rows is, where lanes turn."""
MARGIN = 8
"""How far the first row is from the top, and the last from the bottom."""
BORDER = 5
"""How far the ground of the steps beside the others stands out, and from the edge of the picture."""
HEADING = 28
"""How high the heading of the last column is."""
APART_BESIDE, APART_WITHIN = 5, 16
"""How far apart links run that share a lane but not their first step: beside a column, in an empty one."""
ROOM_BESIDE, ROOM_WITHIN = 10, 72
"""How much room all links that share a lane have; where they are many, they run closer."""
DAILY = "FREQ=DAILY"


@dataclass(frozen=True, slots=True)
class Node:
    """A step's field, by its upper left corner, and the lines of its title.

    Attributes:
        plate: How wide the plain ground under the title is.
    """

    step: str
    x: float
    y: float
    width: float
    height: float
    lines: tuple[str, ...]
    plate: float


@dataclass(frozen=True, slots=True)
class Edge:
    """A lane from a step to one that comes after it.

    Attributes:
        source: The step that comes first.
        target: The step that needs it.
        any: Whether it is one of several of which one is enough (`after_any`).
        points: Where it goes, from the lower edge of one field to the upper edge of the other.
    """

    source: str
    target: str
    any: bool
    points: tuple[Point, ...]

    @property
    def path(self) -> str:
        """The lane as the data of an SVG path: straight down, and sideways in bows that end upright."""
        (x, y), *_ = self.points
        bows = (_bow(start, end) for start, end in pairwise(self.points))
        return f"M{x:g} {y:g}{''.join(bows)}"


def _bow(start: Point, end: Point) -> str:
    if start[0] == end[0]:
        return f"V{end[1]:g}"
    middle = (start[1] + end[1]) / 2
    return f"C{start[0]:g} {middle:g} {end[0]:g} {middle:g} {end[0]:g} {end[1]:g}"


@dataclass(frozen=True, slots=True)
class Picture:
    """A drawn graph; all lengths are in units of a view box of that width and height.

    Attributes:
        strip: The outline of the ground of the steps that are not for every day, if there are others.
        heading: What that ground is called, and the middle of that line.
    """

    width: float
    height: float
    nodes: tuple[Node, ...]
    edges: tuple[Edge, ...]
    gates: tuple[Gate, ...]
    strip: tuple[Point, ...]
    heading: tuple[str, float]


def picture(steps: Iterable[Step]) -> Picture:
    """Lay out steps top to bottom, with every link that can matter; nodes in course order."""
    known = {step.id: step for step in steps}
    graph = graph_of(known.values())
    beside = frozenset(step.id for step in known.values() if step.repeats != DAILY)
    columns = _columns(step.title for step in known.values())
    plan = _plan(tuple(graph.items()), beside, columns)
    room = _field_width(columns) - SIDES
    lines = {step.id: title_lines(step.title, room) for step in known.values()}
    sheet = _sheet(plan, lines, graph)
    edges = tuple(
        Edge(source, target, source not in graph[target].after, sheet.points(source, target))
        for source, target in plan.routes
    )
    nodes = tuple(sheet.node(step, lines[step]) for step in known)
    weekly = all("FREQ=WEEKLY" in known[step].repeats for step in beside)
    heading = ("By weekday" if weekly else "Not every day", sheet.middle(2 * columns - 1))
    return Picture(WIDTH, sheet.height, nodes, edges, tuple(sheet.gates()), tuple(sheet.strip()), heading)


def _columns(titles: Iterable[str]) -> int:
    """Three columns, or two where a word is too wide for a field of three and not for one of two."""
    rooms = [_field_width(columns) - SIDES for columns in (COLUMNS, COLUMNS - 1)]
    widest = (widest_word(title) for title in titles)
    return COLUMNS - 1 if any(rooms[0] < word <= rooms[1] for word in widest) else COLUMNS


def _field_width(columns: int) -> float:
    return (WIDTH - GAP * (columns + 1)) / columns


@lru_cache(maxsize=64)
def _plan(graph: tuple[tuple[str, Needs], ...], beside: frozenset[str], columns: int) -> Arrangement:
    """The arrangement of a graph, kept because a page asks for the same one again and again."""
    return arrangement(dict(graph), beside, columns)


@dataclass(frozen=True, slots=True)
class _Sheet:
    """An arrangement with lengths.

    Attributes:
        plan: The arrangement.
        tops: The upper edge of every row, where the ground before its fields begins.
        fields: The upper edge of the fields of every row.
        bottoms: The lower edge of every row.
        beside: For a row, a lane in it and a link's first step: how far the link runs from the lane's middle.
        approaches: How each step that comes after others is reached.
    """

    plan: Arrangement
    tops: tuple[float, ...]
    fields: tuple[float, ...]
    bottoms: tuple[float, ...]
    beside: Mapping[tuple[int, int, str], float]
    approaches: Mapping[str, Approach]

    @property
    def height(self) -> float:
        """The height of the whole."""
        return self.bottoms[-1] + 2 * MARGIN if self.bottoms else 2.0 * MARGIN

    def node(self, step: str, lines: tuple[str, ...]) -> Node:
        """A step's field."""
        row, column = self.plan.slots[step]
        wide = _field_width(self.plan.columns)
        top, bottom = self.fields[row], self.bottoms[row]
        plate = min(wide - 4, max(map(width, lines)) + 6)
        return Node(step, self.middle(2 * column + 1) - wide / 2, top, wide, bottom - top, lines, plate)

    def points(self, source: str, target: str) -> tuple[Point, ...]:
        """Where a link goes."""
        first, last = self.plan.slots[source][0], self.plan.slots[target][0]
        points: list[Point] = [(self.middle(self.plan.routes[source, target][0]), self.bottoms[first])]
        for row, x in enumerate(self.passes(source, target), first + 1):
            points += [(x, self.tops[row]), (x, self.bottoms[row])]
        entry = self.approaches[target].points(source, self._door(target), self.tops[last])
        return tuple(dict.fromkeys((*points, *entry)))

    def passes(self, source: str, target: str) -> list[float]:
        """How far from the left a link passes each of the rows between its steps."""
        lanes = self.plan.routes[source, target]
        first = self.plan.slots[source][0] + 1
        return [
            self.middle(lane) + self.beside[row, lane, source] for row, lane in enumerate(lanes[1:-1], first)
        ]

    def gates(self) -> Iterator[Gate]:
        """The gates of all links."""
        for target, approach in self.approaches.items():
            yield from approach.gates(target, self._door(target))

    def strip(self) -> Iterator[Point]:
        """The outline of the ground of those that stand beside: a column, wider below the others."""
        last = self.plan.apart
        if last is None:
            return
        left = self.middle(2 * self.plan.columns - 1) - _field_width(self.plan.columns) / 2 - BORDER
        right, low = WIDTH - BORDER, self.height - BORDER
        yield from ((left, BORDER), (right, BORDER), (right, low))
        if last + 1 == self.plan.rows:
            yield (left, low)
        else:
            widens = self.bottoms[last] + TURNING / 2
            yield from ((BORDER, low), (BORDER, widens), (left, widens))

    def _door(self, step: str) -> Point:
        row, column = self.plan.slots[step]
        return self.middle(2 * column + 1), self.fields[row]

    def middle(self, lane: int) -> float:
        """How far from the left a lane lies: in the middle of a column, or of the gap beside one."""
        return GAP / 2 + lane * (_field_width(self.plan.columns) + GAP) / 2


def _sheet(plan: Arrangement, lines: Mapping[str, Sequence[str]], graph: Mapping[str, Needs]) -> _Sheet:
    bare = _Sheet(plan, (), (), (), _beside(plan), {})
    approaches = _approaches(bare, graph)
    heights, yards = [float(LEAST_HEIGHT)] * plan.rows, [0.0] * plan.rows
    for step, (row, _) in plan.slots.items():
        heights[row] = max(heights[row], PADDING + LINE_HEIGHT * len(lines[step]))
        if step in approaches:
            yards[row] = max(yards[row], approaches[step].height)
    whole = [yard + height for yard, height in zip(yards, heights, strict=True)]
    begin = float(MARGIN if plan.apart is None else HEADING)
    tops = tuple(accumulate((height + TURNING for height in whole[:-1]), initial=begin))[: plan.rows]
    fields = tuple(top + yard for top, yard in zip(tops, yards, strict=True))
    bottoms = tuple(top + height for top, height in zip(tops, whole, strict=True))
    return _Sheet(plan, tops, fields, bottoms, bare.beside, approaches)


def _approaches(sheet: _Sheet, graph: Mapping[str, Needs]) -> dict[str, Approach]:
    """How each step is reached, those that come from further left before the others."""
    every: dict[str, list[tuple[float, str]]] = {}
    some: dict[str, list[tuple[float, str]]] = {}
    for source, target in sheet.plan.routes:
        passes = sheet.passes(source, target)
        comes_from = passes[-1] if passes else sheet.middle(sheet.plan.routes[source, target][0])
        kind = every if source in graph[target].after else some
        kind.setdefault(target, []).append((comes_from, source))
    return {
        target: Approach(
            tuple(sorted(every.get(target, ()))),
            tuple(sorted(some.get(target, ()))),
            _field_width(sheet.plan.columns),
        )
        for target in every | some
    }


def _beside(plan: Arrangement) -> dict[tuple[int, int, str], float]:
    """Set links that share a lane apart, but for those that come from the same step."""
    return {
        (row, lane, source): _apart(lane, len(sharing)) * (index - (len(sharing) - 1) / 2)
        for (row, lane), sharing in shared_lanes(plan.slots, plan.routes).items()
        for index, source in enumerate(sharing)
    }


def _apart(lane: int, number: int) -> float:
    """How far apart this number of links run in a lane."""
    usual, room = (APART_WITHIN, ROOM_WITHIN) if lane % 2 else (APART_BESIDE, ROOM_BESIDE)
    return min(usual, room / max(1, number - 1))
