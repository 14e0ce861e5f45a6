"""The picture of a course's graph as plain geometry, readable at the width of a phone."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import accumulate
from textwrap import wrap
from typing import TYPE_CHECKING

from coach.course.arrangement import COLUMNS, Arrangement, arrangement, shared_lanes
from coach.course.graph import graph_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from coach.course.graph import Needs
    from coach.course.model import Step

WIDTH = 340
NODE_WIDTH = 100
LEAST_HEIGHT = 44  # a finger's width, so that a step can be tapped
LINE_HEIGHT = 14
PADDING = 16
ROW_GAP = 34
MARGIN = 8
LETTERS_A_LINE = 14
MOST_LINES = 3
APART_BESIDE, APART_WITHIN = 3, 16
"""How far apart links run that share a lane but not their first step: beside a column, in an empty one."""
ROOM_BESIDE, ROOM_WITHIN = 8, 96
"""How much room all links that share a lane have; where they are many, they run closer."""

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Node:
    """A step's box, by its upper left corner, and the lines of its title."""

    step: str
    x: float
    y: float
    width: float
    height: float
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Edge:
    """A link from a step to one that comes after it.

    Attributes:
        source: The step that comes first.
        target: The step that needs it.
        any: Whether it is one of several of which one is enough (`after_any`).
        points: The line's corners, from the lower edge of one box to the upper edge of the other.
    """

    source: str
    target: str
    any: bool
    points: tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class Picture:
    """A drawn graph; all lengths are in units of a view box of that width and height."""

    width: float
    height: float
    nodes: tuple[Node, ...]
    edges: tuple[Edge, ...]


def picture(steps: Iterable[Step]) -> Picture:
    """Lay out steps top to bottom, with every link that can matter; nodes in course order."""
    titles = {step.id: (step, title_lines(step.title)) for step in steps}
    graph = graph_of(step for step, _ in titles.values())
    sheet = _sheet(_plan(tuple(graph.items())), {step: lines for step, (_, lines) in titles.items()})
    nodes = tuple(sheet.node(step, lines) for step, (_, lines) in titles.items())
    edges = tuple(
        Edge(source, target, source not in graph[target].after, sheet.points(source, target))
        for source, target in sheet.plan.routes
    )
    return Picture(WIDTH, sheet.height, nodes, edges)


def title_lines(title: str) -> tuple[str, ...]:
    """A title cut into lines that fit a step's box; the last one ends in dots if words are left over."""
    return tuple(wrap(title, LETTERS_A_LINE, max_lines=MOST_LINES, placeholder="…")) or ("",)


@lru_cache(maxsize=64)
def _plan(graph: tuple[tuple[str, Needs], ...]) -> Arrangement:
    """The arrangement of a graph, kept because a page asks for the same one again and again."""
    return arrangement(dict(graph))


@dataclass(frozen=True, slots=True)
class _Sheet:
    """An arrangement with lengths.

    Attributes:
        plan: The arrangement.
        tops: The upper edge of every row.
        heights: The height of every row.
        beside: For a row, a lane in it and a link's first step: how far the link runs from the lane's middle.
    """

    plan: Arrangement
    tops: tuple[float, ...]
    heights: tuple[float, ...]
    beside: Mapping[tuple[int, int, str], float]

    @property
    def height(self) -> float:
        """The height of the whole."""
        return self.tops[-1] + self.heights[-1] + MARGIN if self.tops else 2.0 * MARGIN

    def node(self, step: str, lines: tuple[str, ...]) -> Node:
        """A step's box."""
        row, column = self.plan.slots[step]
        x = _middle(2 * column + 1) - NODE_WIDTH / 2
        return Node(step, x, self.tops[row], NODE_WIDTH, self.heights[row], lines)

    def points(self, source: str, target: str) -> tuple[Point, ...]:
        """The corners of a link."""
        lanes = self.plan.routes[source, target]
        first, last = self.plan.slots[source][0], self.plan.slots[target][0]
        points: list[Point] = [(_middle(lanes[0]), self._bottom(first))]
        for row, lane in enumerate(lanes[1:-1], first + 1):
            x = _middle(lane) + self.beside[row, lane, source]
            points += [(x, self.tops[row]), (x, self._bottom(row))]
        return (*points, (_middle(lanes[-1]), self.tops[last]))

    def _bottom(self, row: int) -> float:
        return self.tops[row] + self.heights[row]


def _sheet(plan: Arrangement, lines: Mapping[str, Sequence[str]]) -> _Sheet:
    heights = [float(LEAST_HEIGHT)] * plan.rows
    for step, (row, _) in plan.slots.items():
        heights[row] = max(heights[row], PADDING + LINE_HEIGHT * len(lines[step]))
    tops = accumulate((height + ROW_GAP for height in heights[:-1]), initial=float(MARGIN))
    return _Sheet(plan, tuple(tops) if heights else (), tuple(heights), _beside(plan))


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


def _middle(lane: int) -> float:
    """How far from the left a lane lies: in the middle of a column, or of the gap beside one."""
    gap = (WIDTH - COLUMNS * NODE_WIDTH) / (COLUMNS + 1)
    return gap / 2 + lane * (NODE_WIDTH + gap) / 2
