"""How a week sheet fits on one page when a browser prints it: sizes chosen by what stands on it.

A browser cannot be asked how tall a page will be, so its lines are counted, on the tall side. The style sheet
has a class for each step; its sizes are these.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby, product
from math import ceil
from typing import TYPE_CHECKING

from coach.paper.rules.widths import rows

if TYPE_CHECKING:
    from collections.abc import Iterator


@dataclass(frozen=True, slots=True)
class Step:
    """A size in which a sheet can be set.

    Attributes:
        type: The size of its type, in points.
        pad: The room above and below a row of the grid, in points.
        close: Whether all stands closer than one would like: lower rows, narrower columns for boxes, and no
            lines to write on.
    """

    type: float
    pad: float
    close: bool = False

    @property
    def leading(self) -> float:
        """A row's height, in sizes of type."""
        return CLOSE_LEADING if self.close else LEADING

    @property
    def box_column(self) -> float:
        """The width of a date's column, in sizes of type."""
        return CLOSE_BOX_COLUMN if self.close else BOX_COLUMN


STEPS = (
    Step(11, 5),
    Step(11, 3.5),
    Step(11, 2.2),
    Step(10.5, 1.8),
    Step(10, 1.5),
    Step(9.5, 1.2),
    Step(9, 0.9),
    Step(8.5, 0.6),
    Step(8, 0.3),
    Step(8, 0, close=True),
)
"""From the largest to the least: type is never under 8 points."""

MILLIMETRE = 72 / 25.4
SIZES = {
    "a4": (210 * MILLIMETRE, 297 * MILLIMETRE),
    "letter": (8.5 * 72, 11 * 72),
}
"""Width and height of papers that stand upright, in points: ISO 216, and ANSI's size A."""
MARGIN = 9 * MILLIMETRE
"""What stays empty at each edge."""

LEADING, CLOSE_LEADING = 1.22, 1.12
"""A row's height, in sizes of type."""
BOX = 1.2
"""A box with its border, in sizes of type."""
TITLE = 1.5
"""The dates at the head, in sizes of type."""
DATES = 7
BOX_COLUMN, CLOSE_BOX_COLUMN = 2.4, 2.0
"""The width of a date's column, in sizes of type; of 8 points the narrower one is 5.6 mm."""
GAP = 12
"""Points between the grid and what stands around it, and between two columns."""
HEAD = 1.72
"""A heading with the room above it, in sizes of type."""
SIDE_PAD = 0.35
"""The share of a row's room that lines around the grid have."""
INDENT = 1.9
"""What a box and the room beside it take of a line, in sizes of type."""
BETWEEN = 0.3
"""What is between head, grid, the rest and the lines to write on, in sizes of type."""
WRITTEN = 17.0
"""A line to write on by hand, in points."""
SPARE = 0.97
"""Only so much of a page is filled by the count, since other faces may be a little taller."""


@dataclass(frozen=True, slots=True)
class Layout:
    """How the pieces of a sheet lie on it.

    Attributes:
        name: What its class in the style sheet is called.
        share: The grid's share of the width where the rest stands beside it; 0: the rest stands below.
        columns: How many columns the rest has.
    """

    name: str
    share: float
    columns: int


TWO_COLUMNS = (Layout("below-2", 0, 2),)
ACROSS = (
    Layout("beside-53", 0.53, 1),
    Layout("beside-62", 0.62, 1),
    Layout("beside-45", 0.45, 1),
    Layout("below-3", 0, 3),
    Layout("beside-70", 0.7, 1),
)
"""What is tried where the paper lies on its long side, the first that fits first."""


@dataclass(frozen=True, slots=True)
class Text:
    """A text that begins a line, and whether a box stands before it."""

    words: str
    boxed: bool = True


@dataclass(frozen=True, slots=True)
class Content:
    """What stands on a sheet, as far as it takes room.

    Attributes:
        paper: One of `SIZES`.
        names: What is said of those who live there; empty: nothing.
        lines: The daily lines, each with its part of the day.
        sections: What stands around them, each a list of texts under a heading of its own.
        signs: Whether it is said below the grid what the signs in its boxes mean.
        writing: Lines to write on.
    """

    paper: str
    across: bool
    names: str
    lines: tuple[tuple[str, str], ...]
    sections: tuple[tuple[Text, ...], ...]
    signs: bool
    writing: int


@dataclass(frozen=True, slots=True)
class Fitting:
    """How a sheet fits.

    Attributes:
        step: The number of the size, from 1; the last one where nothing fits.
        size: Its type in points.
        layout: How its pieces lie.
        over: By how many lines it is too long for its page, at the least size.
    """

    step: int
    size: float
    layout: str
    over: int


def fitting(content: Content) -> Fitting:
    """How a sheet fits on its page: the largest size at which it does."""
    # Without a grid there is nothing for the rest to stand beside.
    layouts = ACROSS if content.across and content.lines else TWO_COLUMNS
    # Of one size of type a wider grid is worth more than taller rows.
    for _, steps in groupby(enumerate(STEPS, 1), key=lambda one: (one[1].type, one[1].close)):
        for layout, (number, step) in product(layouts, list(steps)):
            if _left(content, step, layout) >= 0:
                return Fitting(number, step.type, layout.name, 0)
    least = STEPS[-1]
    best = max(layouts, key=lambda layout: _left(content, least, layout))
    over = ceil(-_left(content, least, best) / _row(1, least))
    return Fitting(len(STEPS), least.type, best.name, over)


def room(paper: str, *, across: bool) -> tuple[float, float]:
    """Width and height that a page has, in points."""
    wide, tall = SIZES[paper]
    if across:
        wide, tall = tall, wide
    return wide - 2 * MARGIN, tall - 2 * MARGIN


def _left(content: Content, step: Step, layout: Layout) -> float:
    """The height that is left over, in points; below zero where it does not fit."""
    wide, tall = room(content.paper, across=content.across)
    left = tall * SPARE - _head(content, step, wide) - 3 * BETWEEN * step.type
    has_lines = content.writing and not step.close
    written = content.writing * WRITTEN + HEAD * step.type if has_lines else 0.0
    if layout.share:
        # They share what the gap between them leaves.
        shared = wide - GAP
        beside = sum(_items(content, step, shared * (1 - layout.share))) + written
        return left - max(_grid(content, step, shared * layout.share), beside)
    around = _columns(content, step, wide, layout.columns)
    return left - _grid(content, step, wide) - around - written


def _columns(content: Content, step: Step, wide: float, columns: int) -> float:
    """The height of what stands around the grid in columns beside one another.

    They are as even as the tallest piece that is not cut lets them be.
    """
    items = list(_items(content, step, (wide - (columns - 1) * GAP) / columns))
    uncut = max(items, default=0.0)
    return (sum(items) + (columns - 1) * uncut) / columns + step.type if items else 0.0


def _head(content: Content, step: Step, wide: float) -> float:
    """The head: the dates, in type half as large again, and who lives there."""
    names = rows(content.names, wide / step.type) if content.names else 0
    return (LEADING * TITLE + 0.5 + step.leading * names) * step.type


def _grid(content: Content, step: Step, wide: float) -> float:
    if not content.lines:
        return 0.0
    title = wide / step.type - DATES * step.box_column - 0.5
    slots = len({slot for slot, _ in content.lines})
    lines = sum(_row(rows(text, title), step) for _, text in content.lines)
    # The heads of the dates have two rows of words.
    heads = (3 if content.signs else 2) * step.leading + 0.8 + slots * (step.leading + 0.35)
    return heads * step.type + lines


def _row(count: int, step: Step) -> float:
    return max(step.leading * count, BOX) * step.type + 2 * step.pad + 0.6


def _items(content: Content, step: Step, wide: float) -> Iterator[float]:
    """The heights of the pieces around the grid: headings with the first line after them, and lines."""
    ems = wide / step.type - 0.5
    for section in content.sections:
        head = HEAD * step.type
        for text in section:
            count = rows(text.words, ems - INDENT if text.boxed else ems)
            yield head + max(step.leading * count, BOX) * step.type + 2 * SIDE_PAD * step.pad
            head = 0.0
