"""How much a day card holds: how high its lines are, and the cards that a list fills."""

from __future__ import annotations

from dataclasses import dataclass
from math import floor
from textwrap import wrap
from typing import TYPE_CHECKING, Literal, TypeVar
from unicodedata import east_asian_width

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

Line = TypeVar("Line")
PerPage = Literal[2, 4]
Paper = Literal["a4", "letter"]

SHEETS: dict[Paper, tuple[float, float]] = {"a4": (210, 297), "letter": (215.9, 279.4)}
"""Millimetres of an upright sheet (ISO 216; ANSI/ASME Y14.1)."""

EDGE = 8.0
"""Millimetres that are left free around the cards of a page, since few printers reach the edge."""

INSET = 5.0
"""Millimetres from a card's cut to its words."""

POINT = 25.4 / 72
TYPES: dict[PerPage, tuple[float, float]] = {2: (16.5, 12.75), 4: (12.75, 10.5)}
"""The type of a line's title, and of what stands below it, on a page of so many cards, in points."""

CARE: dict[PerPage, float] = {2: 10.5, 4: 8.5}
"""The type of a caution's text, in points."""

LEADING = 1.35
"""The height of a row of type, in heights of the type."""

WIDTH = 0.51
"""How wide a letter is taken to be, in heights of the type: a little more than most letters are."""

HEAD = 15.0
"""Millimetres that the name of the part of the day takes."""

BETWEEN = 3.2
"""Millimetres between two lines."""

MINUTES = 20.0
"""Millimetres at the end of a title's rows that belong to its minutes."""

_TWICE = frozenset("WF")


@dataclass(frozen=True, slots=True)
class Space:
    """The room for lines on a card, in millimetres, and its sizes of type, in points."""

    width: float
    height: float
    title: float
    detail: float
    care: float

    def takes(self, title: str, details: Sequence[str]) -> float:
        """How high a line is, with the space below it."""
        rows = _rows(title, self.width - MINUTES, self.title) * self.title
        rows += sum(_rows(text, self.width, self.detail) for text in details) * self.detail
        return rows * LEADING * POINT + BETWEEN

    def takes_care(self, text: str) -> float:
        """How high the text of a caution is."""
        return _rows(text, self.width, self.care) * self.care * LEADING * POINT


def space(paper: Paper, per_page: PerPage) -> Space:
    """The room on a card: a quarter of an upright sheet, or half of one that lies across."""
    short, long = SHEETS[paper]
    is_upright = per_page == 4  # noqa: PLR2004  the two there are
    across, down = (short, long) if is_upright else (long, short)
    width, height = (across - 2 * EDGE) / 2, (down - 2 * EDGE) / (2 if is_upright else 1)
    return Space(width - 2 * INSET, height - 2 * INSET - HEAD, *TYPES[per_page], CARE[per_page])


def filled(lines: Sequence[Line], high: Callable[[Line], float], room: float) -> Iterator[tuple[Line, ...]]:
    """The lines on as few cards as hold them, in their order; one that is too high has a card to itself.

    Args:
        lines: The lines.
        high: How high a line is.
        room: How high the lines of one card may be together.
    """
    taken: list[Line] = []
    height = 0.0
    for line in lines:
        more = high(line)
        if taken and height + more > room:
            yield tuple(taken)
            taken, height = [], 0.0
        taken.append(line)
        height += more
    if taken:
        yield tuple(taken)


def _rows(text: str, width: float, size: float) -> int:
    """How many rows a text takes; letters as wide as two, capitals among them, count twice."""
    letters = max(1, floor(width / (size * POINT * WIDTH)))
    widened = "".join(one * (2 if _is_wide(one) else 1) for one in text)
    return max(1, len(wrap(widened, letters)))


def _is_wide(letter: str) -> bool:
    return letter.isupper() or east_asian_width(letter) in _TWICE
