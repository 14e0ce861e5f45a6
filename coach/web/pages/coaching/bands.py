"""What rules cost in days, drawn: a band over what is kept, for each rule on the same scales."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Sequence

    from coach.coaching.strictness_answers import CostAt, RuleCost

WIDE, HIGH = 260, 140
"""The size of the drawing, in its own units."""

RUNGS = (7, 14, 28, 56, 91, 182, 364, 728)
"""Days between two lines of the scale."""
MOST_RUNGS = 5
BEYOND = 728
"""Bands end at so many days, and lead out of the drawing; the table says the day."""


class Mark(NamedTuple):
    """A place on a scale: what stands beside it, and how far along it is."""

    word: int
    at: float


class Corner(NamedTuple):
    """A day at an adherence, as a point; `shown` is false for one beyond the drawing."""

    x: float
    y: float
    shown: bool


class Band(NamedTuple):
    """A rule as it is drawn.

    Attributes:
        outline: Between the day for one in two and that for eight in ten.
        half: The corners of the lower edge.
        most: Those of the upper one.
    """

    outline: str
    half: tuple[Corner, ...]
    most: tuple[Corner, ...]

    @property
    def lower(self) -> str:
        """The lower edge as a path."""
        return _path(self.half)

    @property
    def upper(self) -> str:
        """The upper edge as a path."""
        return _path(self.most)


class Scales(NamedTuple):
    """What all drawings share: the days on the left and the shares kept below, in per cent."""

    days: tuple[Mark, ...]
    kept: tuple[Mark, ...]


def scales(rules: Sequence[RuleCost]) -> tuple[Scales, tuple[Band, ...]]:
    """The scales of some rules, and the band of each."""
    top, every = _top(rules)
    days = tuple(Mark(day, _y(day, top)) for day in range(0, top + 1, every))
    adherences = [one.adherence for one in rules[0].at]
    kept = tuple(Mark(round(100 * one), _x(one, adherences)) for one in adherences)
    return Scales(days, kept), tuple(_band(rule, adherences, top) for rule in rules)


def _top(rules: Sequence[RuleCost]) -> tuple[int, int]:
    """The highest day of the scale, and the days between two of its lines."""
    days = [day for rule in rules for one in rule.at for day in (one.p50, one.p80) if day is not None]
    furthest = min(max(days, default=BEYOND), BEYOND)
    every = next((rung for rung in RUNGS if furthest <= rung * MOST_RUNGS), RUNGS[-1])
    return every * -(-furthest // every), every


def _band(rule: RuleCost, adherences: Sequence[float], top: int) -> Band:
    half = tuple(_corner(one, one.p50, adherences, top) for one in rule.at)
    most = tuple(_corner(one, one.p80, adherences, top) for one in rule.at)
    return Band(f"{_path([*most, *reversed(half)])}Z", half, most)


def _corner(one: CostAt, day: int | None, adherences: Sequence[float], top: int) -> Corner:
    shown = day is not None and day <= top
    # What lies beyond is drawn towards a place above the frame, which cuts it off.
    return Corner(_x(one.adherence, adherences), _y(day if shown and day else 2 * top, top), shown)


def _x(adherence: float, adherences: Sequence[float]) -> float:
    low, high = min(adherences), max(adherences)
    return WIDE / 2 if low == high else round(WIDE * (adherence - low) / (high - low), 1)


def _y(day: int, top: int) -> float:
    return round(HIGH * (1 - day / top), 1)


def _path(corners: Sequence[Corner]) -> str:
    return "M" + "L".join(f"{one.x:g} {one.y:g}" for one in corners)
