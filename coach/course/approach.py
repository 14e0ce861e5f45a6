"""The ground before a field in the picture: its gates, and how lanes come to them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

GATE_SCALE = 0.75
"""How large a gate is drawn beside one on a page."""
PITCH = 27.0
"""How high a gate is with its lifted bars, in a row of gates."""
LIFT = 9.5
"""How far lifted bars stand out above the posts."""
GATE_WIDTH = 24.0
"""How wide a gate is with the ground beside it."""
JOINING = 12.0
"""How high the ground is on which lanes join behind gates that stand side by side."""
EDGE = 3.0
"""How far what comes to a field stays from its corners."""

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Gate:
    """A gate on the lane from one step to another, by the middle of the upper end of its posts."""

    source: str
    target: str
    x: float
    y: float
    scale: float


@dataclass(frozen=True, slots=True)
class Approach:
    """How a field is reached: gates in a row for all that must come first, side by side where one is enough.

    Where there are both, those side by side stand further out, and all lanes join before those in a row.

    Attributes:
        every: Where from the left each step of `after` comes from, and the step; from left to right.
        some: The same of `after_any`.
        width: The field's.
    """

    every: tuple[tuple[float, str], ...]
    some: tuple[tuple[float, str], ...]
    width: float

    @property
    def height(self) -> float:
        """How high the ground with the gates is."""
        return self._in_row + (PITCH if self.some else 0.0) + (JOINING if self.some and self.every else 0.0)

    def gates(self, target: str, door: Point) -> Iterator[Gate]:
        """The gates before a field whose upper edge has its middle at `door`, the first furthest out."""
        x, y = door
        for at, (_, source) in enumerate(reversed(self.every)):
            yield Gate(source, target, x, y - (at + 1) * PITCH + LIFT, GATE_SCALE)
        scale = GATE_SCALE * self._step / GATE_WIDTH
        for at, (_, source) in enumerate(self.some):
            yield Gate(source, target, x + self._off(at), y - self.height + LIFT, scale)

    def points(self, source: str, door: Point, top: float) -> tuple[Point, ...]:
        """Where the lane from a step goes, from the upper edge of its row to the field."""
        x, y = door
        aside = x + self._aside(source, x)
        if not (self.every and self.some):
            return (aside, top), (aside, y)
        joined = y - self._in_row
        return (aside, top), (aside, joined - JOINING), (x, joined), (x, y)

    def _aside(self, source: str, x: float) -> float:
        """How far from the middle of the field a lane comes in."""
        names = [name for _, name in self.some]
        if source in names:
            return self._off(names.index(source))
        if not self.some:
            return 0.0
        comes_from = next(place for place, name in self.every if name == source)
        beside = min(self._step * len(self.some) / 2 + EDGE, self.width / 2 - EDGE)
        return beside if comes_from > x else -beside

    def _off(self, at: int) -> float:
        return self._step * (at - (len(self.some) - 1) / 2)

    @property
    def _step(self) -> float:
        return min(GATE_WIDTH, (self.width - 4 * EDGE) / max(1, len(self.some)))

    @property
    def _in_row(self) -> float:
        return PITCH * len(self.every)
