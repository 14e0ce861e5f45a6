"""A simple plan of the home as plain geometry: each area a block with its rooms in it, readable on a phone.

Nobody is asked where the walls are: the blocks stand in the order of the areas, two beside each other.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from textwrap import wrap
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

WIDTH = 324.0
"""In pixels at the width of a phone, so that names are as large there as they are drawn."""

BESIDE = 2
LINE = 15.0
LETTER = 6.9
"""About the width of a letter at the size in which rooms are named; areas are named in a bolder face."""

PADDING = 8.0
MARGIN = 12.0
NARROWEST = 105.0
MOST_LINES = 3


@dataclass(frozen=True, slots=True)
class Block:
    """A rectangle by its upper left corner, with the lines of its name."""

    x: float
    y: float
    width: float
    height: float
    lines: tuple[str, ...]

    @property
    def middle(self) -> tuple[float, float]:
        """Its middle."""
        return self.x + self.width / 2, self.y + self.height / 2


@dataclass(frozen=True, slots=True)
class AreaBlock:
    """An area's block.

    Attributes:
        number: The area's place in the order, from 1.
        head: The strip with its name.
        rooms: The rooms below it, which fill the block.
    """

    number: int
    head: Block
    rooms: tuple[Block, ...]

    @property
    def height(self) -> float:
        """Of the whole block."""
        return self.head.height + max((room.y + room.height for room in self.rooms), default=0) - self.bottom

    @property
    def bottom(self) -> float:
        """Where the strip ends."""
        return self.head.y + self.head.height


@dataclass(frozen=True, slots=True)
class Floor:
    """The plan of a home."""

    width: float
    height: float
    areas: tuple[AreaBlock, ...]


def floor(areas: Sequence[tuple[str, Sequence[str]]]) -> Floor:
    """The plan of a home, from each area's name and the names of its rooms, in order."""
    blocks: list[AreaBlock] = []
    y = 0.0
    for first in range(0, len(areas), BESIDE):
        row = areas[first : first + BESIDE]
        width = WIDTH / len(row)
        made = [_block(first + place + 1, place * width, y, width, *area) for place, area in enumerate(row)]
        tallest = max(block.height for block in made)
        blocks += [_stretched(block, tallest) for block in made]
        y += tallest
    return Floor(WIDTH, y, tuple(blocks))


def _block(number: int, x: float, y: float, width: float, name: str, rooms: Sequence[str]) -> AreaBlock:
    lines = _lines(name, width - MARGIN)
    head = Block(x, y, width, LINE * len(lines) + 2 * PADDING, lines)
    return AreaBlock(number, head, tuple(_rooms(head, rooms)))


def _rooms(head: Block, rooms: Sequence[str]) -> Iterator[Block]:
    """The rooms in rows below the strip; an area without rooms has one without a name."""
    names = rooms or [""]
    beside = int(head.width // NARROWEST)
    y = head.y + head.height
    for first in range(0, len(names), beside):
        row = names[first : first + beside]
        width = head.width / len(row)
        lines = [_lines(name, width) for name in row]
        height = LINE * max(map(len, lines)) + 3 * PADDING
        for place, of_one in enumerate(lines):
            yield Block(head.x + place * width, y, width, height, of_one)
        y += height


def _lines(name: str, width: float) -> tuple[str, ...]:
    letters = int((width - 2 * PADDING) / LETTER)
    return tuple(wrap(name, letters, max_lines=MOST_LINES, placeholder="…")) or ("",)


def _stretched(block: AreaBlock, height: float) -> AreaBlock:
    """The block with its rooms stretched downwards until it has a height."""
    rooms = block.height - block.head.height
    factor = (height - block.head.height) / rooms
    return replace(
        block,
        rooms=tuple(
            replace(room, y=block.bottom + (room.y - block.bottom) * factor, height=room.height * factor)
            for room in block.rooms
        ),
    )
