"""Stacked curves of a step, as the outlines of their bands in a drawing."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Sequence

    from coach.coaching.stopping_answers import StepStops

WIDE, HIGH = 300, 120
"""The size of the drawing, in its own units."""

WEEK = 7
MOST_TICKS = 5

START = (0.0, 0.0, 1.0, 1.0, 1.0, 1.0)
"""Where the bands begin and end before the first day."""

Row = tuple[int, float | None, float | None, float | None, float | None]


class Tick(NamedTuple):
    """A day below the drawing, and how far from the left."""

    day: int
    left: float


class Curves(NamedTuple):
    """What is drawn of a step.

    Attributes:
        bands: The outline of each band with its name, from the bottom up.
        ticks: The days below it.
        last: The last day.
    """

    bands: tuple[tuple[str, str], ...]
    ticks: tuple[Tick, ...]
    last: int


def curves(step: StepStops) -> Curves | None:
    """The bands of a step; None where nothing is told by day, or no more than that some stand somehow."""
    hides = step.rest > 0
    if not step.incidence or (hides and not any(any(row[1:]) for row in step.incidence)):
        return None
    last = max(step.incidence[-1][0], WEEK)
    places = [f"{round(WIDE * row[0] / last, 1):g} " for row in step.incidence]
    levels = zip(START, *map(_levels, step.incidence), strict=True)
    edges = [_edge(places, [_y(level) for level in some]) for some in levels]
    # Those whose end is hidden lie in the middle band, so that it may not be called "still at it" then.
    names = ("settled", "rest" if hides else "open", "set-aside", "lapsed", "left")
    bands = tuple(
        (name, _outline(low, high))
        for name, low, high in zip(names, edges, edges[1:], strict=False)
        if low != high
    )
    return Curves(bands, tuple(_ticks(last)), last)


def _levels(row: Row) -> tuple[float, ...]:
    """Where the bands of a day begin and end, from 0 to 1; a hidden end is in the middle band."""
    _, settled, aside, lapsed, left = (value or 0.0 for value in row)
    return (0.0, settled, 1 - aside - lapsed - left, 1 - lapsed - left, 1 - left, 1.0)


def _edge(places: Sequence[str], heights: Sequence[str]) -> list[str]:
    """An edge as the corners of its steps, from the left to the right; heights are one more than places."""
    found = [f"0 {heights[0]}"]
    for place, (before, height) in zip(places, pairwise(heights), strict=True):
        found += (place + before, place + height)
    return [*found, f"{WIDE} {heights[-1]}"]


def _y(level: float) -> str:
    return f"{round(HIGH * (1 - level), 1):g}"


def _outline(low: Sequence[str], high: Sequence[str]) -> str:
    return f"M{'L'.join([*high, *reversed(low)])}Z"


def _ticks(last: int) -> list[Tick]:
    every = WEEK * max(1, -(-last // (WEEK * MOST_TICKS)))
    return [Tick(day, round(WIDE * day / last, 1)) for day in range(every, last + 1, every)]
