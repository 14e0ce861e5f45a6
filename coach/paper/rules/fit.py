"""How a week sheet fits on one page when a browser prints it: sizes chosen by what stands on it.

A browser cannot be asked how tall a page will be, so its lines are counted, on the tall side. The style sheet
has a class for each step; its sizes are these.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil
from typing import TYPE_CHECKING

from coach.paper.rules.widths import rows

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from coach.paper.answers import PaperName, Sheet


@dataclass(frozen=True, slots=True)
class Step:
    """A size in which a sheet can be set.

    Attributes:
        type: The size of its type, in points.
        pad: The room above and below a row of the grid, in points.
    """

    type: float
    pad: float


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
)
"""From the largest to the least: type is never under 8 points."""

MILLIMETRE = 72 / 25.4
SIZES: dict[PaperName, tuple[float, float]] = {
    "a4": (210 * MILLIMETRE, 297 * MILLIMETRE),
    "letter": (8.5 * 72, 11 * 72),
}
"""Width and height of papers that stand upright, in points: ISO 216, and ANSI's size A."""
MARGIN = 10 * MILLIMETRE
"""What stays empty at each edge."""

LEADING = 1.25
"""A row's height, in sizes of type."""
BOX = 1.3
"""A box with its border, in sizes of type."""
BOX_COLUMN = 2.4
"""The width of a date's column, in sizes of type."""
GAP = 12
"""Points between the grid and what stands around it, and between two columns."""
HEAD = 1.9
"""A heading with the room above it, in sizes of type."""
SIDE_PAD = 0.35
"""The share of a row's room that lines around the grid have."""
INDENT = 1.9
"""What a box and the room beside it take of a line, in sizes of type."""
GRID_SHARE = 0.53
"""The grid's share of the width where the paper lies across."""
WRITTEN = 17.0
"""A line to write on by hand, in points."""
SPARE = 0.97
"""Only so much of a page is filled by the count, since other faces may be a little taller."""


@dataclass(frozen=True, slots=True)
class Fitting:
    """How a sheet fits.

    Attributes:
        step: The number of the size, from 1; the last one where nothing fits.
        size: Its type in points.
        over: By how many lines it is too long for its page, at the least size.
    """

    step: int
    size: float
    over: int


def fitting(sheet: Sheet) -> Fitting:
    """How a sheet, without what is left off, fits on its page: the largest size at which it does."""
    for number, step in enumerate(STEPS, 1):
        if (left := _left(sheet, step)) >= 0:
            return Fitting(number, step.type, 0)
    return Fitting(len(STEPS), STEPS[-1].type, ceil(-left / _row(1, STEPS[-1])))


def room(sheet: Sheet) -> tuple[float, float]:
    """Width and height that a page has, in points."""
    wide, tall = SIZES[sheet.choices.paper]
    if sheet.choices.across:
        wide, tall = tall, wide
    return wide - 2 * MARGIN, tall - 2 * MARGIN


def _left(sheet: Sheet, step: Step) -> float:
    """The height that is left over, in points; below zero where it does not fit."""
    wide, tall = room(sheet)
    head = _head(sheet, step, wide)
    written = sheet.writing * WRITTEN + HEAD * step.type if sheet.writing else 0.0
    if sheet.choices.across:
        side = wide * (1 - GRID_SHARE) - GAP
        grid, around = _grid(sheet, step, wide * GRID_SHARE), _around(sheet, step, side) + written
        return tall * SPARE - head - max(grid, around)
    column = (wide - GAP) / 2
    items = list(_items(sheet, step, column))
    # Two columns are as even as the tallest piece that is not cut lets them be.
    around = (sum(items) + max(items, default=0.0)) / 2 + step.type
    return tall * SPARE - head - _grid(sheet, step, wide) - around - written


def _head(sheet: Sheet, step: Step, wide: float) -> float:
    """The head: the dates, in type half as large again, and who lives there."""
    names = 1 if not sheet.members else rows(names_line(sheet.members), wide / step.type)
    return (LEADING * 1.5 + 0.5) * step.type + (LEADING * names * step.type if sheet.members else 0.0)


def names_line(members: Iterable[str]) -> str:
    """What is said of those who live there."""
    return f"Who: {', '.join(members)}. The first letter in a box says who did it."


def _grid(sheet: Sheet, step: Step, wide: float) -> float:
    if not sheet.lines:
        return 0.0
    title = wide / step.type - 7 * BOX_COLUMN - 0.5
    slots = len({line.slot for line in sheet.lines})
    lines = sum(
        _row(rows(line_text(line.title, line.cue, line.minutes), title), step) for line in sheet.lines
    )
    # The heads of the dates have two rows of words, those of a part of the day one.
    return (2 * LEADING + 0.4) * step.type + slots * (LEADING + 0.35) * step.type + lines


def _row(count: int, step: Step) -> float:
    return max(LEADING * count, BOX) * step.type + 2 * step.pad + 0.75


def line_text(title: str, cue: str | None, minutes: int) -> str:
    """A line as it stands on the sheet."""
    return " ".join(filter(None, [title, cue, f"{minutes} min" if minutes else ""]))


def _around(sheet: Sheet, step: Step, wide: float) -> float:
    return sum(_items(sheet, step, wide))


def _items(sheet: Sheet, step: Step, wide: float) -> Iterator[float]:
    """The heights of the pieces around the grid: headings with the first line after them, and lines."""
    ems = wide / step.type
    for texts in _sections(sheet):
        head = HEAD * step.type
        for text, indent in texts:
            count = rows(text, ems - indent - 0.5)
            yield head + max(LEADING * count, BOX) * step.type + 2 * SIDE_PAD * step.pad + 0.5
            head = 0.0


def _sections(sheet: Sheet) -> Iterator[list[tuple[str, float]]]:
    """The texts of each section, with what a box takes of them in sizes of type."""
    if sheet.jobs:
        yield list(_jobs(sheet))
    for area in sheet.areas:
        yield [
            (sheet.area_text, 0.0),
            *((_with_minutes(one.title, one.minutes), INDENT) for one in area.tasks),
        ]
    if sheet.area_text and not sheet.areas:
        yield [(sheet.area_text, 0.0)]
    if sheet.dinners:
        yield list(_dinners(sheet))
    if sheet.dues:
        yield [(f"Wed 00 {due.time or ''} {due.name} {due.amount or ''}", INDENT) for due in sheet.dues]
    if sheet.errands:
        yield [(title, INDENT) for one in sheet.errands for title in (one.place, *one.titles)]


def _jobs(sheet: Sheet) -> Iterator[tuple[str, float]]:
    for job in sheet.jobs:
        lines = "" if sheet.choices.back else " · ".join(job.lines)
        yield f"Wed 00 {_with_minutes(job.title, job.minutes)} on Wed {lines}", INDENT


def _dinners(sheet: Sheet) -> Iterator[tuple[str, float]]:
    for dinner in sheet.dinners:
        if dinner.dish:
            yield f"Wed 00 {dinner.time} {dinner.dish}", 0.0
        for thaw in dinner.thaw:
            yield f"Wed 00 {thaw}", INDENT
    if sheet.caution:
        yield f"{sheet.caution.title} {sheet.caution.text}", 0.0


def _with_minutes(title: str, minutes: int) -> str:
    return f"{title} {minutes} min" if minutes else title
