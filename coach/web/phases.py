"""Shares of phases stacked over days, as the outlines of a drawing that stands by itself."""

from __future__ import annotations

import re
import textwrap
from dataclasses import dataclass
from itertools import accumulate
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

WIDE, HIGH = 290, 168
"""The size of the drawing, in units that are pixels at the width of a phone."""
STACKED = ("steady", "ramping", "rebuilding", "lapsed", "paused")
"""From the bottom up."""
MOST_PLACES = 400
"""A drawing has no use for more points from left to right."""
MOST_TICKS = 5
WEEK = 7
LINE = 44
"""Letters that fit on a line of 14 units each."""

_COLOUR = re.compile(r"--([\w-]+): (#[0-9a-f]{6});")
_DARK = "@media (prefers-color-scheme: dark)"


@dataclass(frozen=True, slots=True)
class Band:
    """One phase: its name, its outline, and what is said of it beside its pattern."""

    name: str
    outline: str
    words: str


@dataclass(frozen=True, slots=True)
class Stack:
    """What is drawn.

    Attributes:
        bands: Of the phases that somebody was in, from the bottom up.
        lines: The edges between them.
        ticks: Days below the drawing, each with how far from the left.
        told: The same in words.
    """

    bands: tuple[Band, ...]
    lines: tuple[str, ...]
    ticks: tuple[tuple[int, float], ...]
    told: str


def stack(households: int, by_day: Mapping[str, Sequence[int]]) -> Stack:
    """The bands of so many households.

    Args:
        households: How many.
        by_day: For each phase how many are in it on each day.
    """
    names = [name for name in STACKED if any(by_day[name])]
    days = len(by_day[STACKED[0]])
    places = sorted({*range(0, days, -(-days // MOST_PLACES)), days - 1})
    levels = [[0.0, *accumulate(by_day[name][day] / households for name in names)] for day in places]
    across = [WIDE * day / max(days - 1, 1) for day in places]
    edges = [_edge(across, [level[number] for level in levels]) for number in range(len(names) + 1)]
    bands = [
        Band(name, f"{_path([*high, *reversed(low)])}Z", _words(name, by_day[name], households))
        for name, low, high in zip(names, edges, edges[1:], strict=False)
    ]
    lines = [_path(edge) for edge in edges[1:-1]]
    told = f"Shares on day {days}: {', '.join(band.words for band in bands)}."
    return Stack(tuple(bands), tuple(lines), tuple(_ticks(days)), told)


def in_lines(text: str) -> list[str]:
    """A text in lines that fit the drawing."""
    return textwrap.wrap(text, LINE)


def palettes(tokens: str) -> tuple[dict[str, str], dict[str, str]]:
    """The colours of the sheet of tokens, for light and for dark."""
    light, _, dark = tokens.partition(_DARK)
    return dict(_COLOUR.findall(light)), dict(_COLOUR.findall(dark))


def _words(name: str, counts: Sequence[int], households: int) -> str:
    return f"{name} {100 * counts[-1] / households:.1f} %"


def _edge(across: Sequence[float], levels: Sequence[float]) -> list[tuple[float, float]]:
    corners = [(round(x, 1), round(HIGH * (1 - level), 1)) for x, level in zip(across, levels, strict=True)]
    if len(corners) == 1:
        corners.append((float(WIDE), corners[0][1]))
    return corners


def _path(corners: Sequence[tuple[float, float]]) -> str:
    return "M" + "L".join(f"{x:g} {y:g}" for x, y in corners)


def _ticks(days: int) -> list[tuple[int, float]]:
    every = WEEK * max(1, -(-days // (WEEK * MOST_TICKS)))
    return [(day, round(WIDE * (day - 1) / max(days - 1, 1), 1)) for day in range(every, days + 1, every)]
