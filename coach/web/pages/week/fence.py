"""The fence: a week's minutes as posts, the rail at the minutes one has, and stripes on what is over it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from datetime import date

HIGHEST = 92.0
"""How much of the drawing's height, in percent, the tallest post or rail of a week takes."""

LEAST = 12.0
"""How tall a post is at least, so that a day on which nothing is due has one too."""


class Minutes(Protocol):
    """A date's minutes beside those available."""

    @property
    def date(self) -> date:
        """The date."""

    @property
    def minutes(self) -> int:
        """All minutes due."""

    @property
    def available(self) -> int | None:
        """The minutes the household has, if it has said."""


@dataclass(frozen=True, slots=True)
class Post:
    """One day of the fence; its lengths are percent of the drawing's height.

    Attributes:
        height: The post, up to whatever is taller: what is due, or the rail.
        due: What is due, as far as the rail goes.
        over: What is due beyond the rail.
        rail: Where the rail stands; none where the household has not said how many minutes it has.
        before: Where the rail of the day before stands, if it has another height.
    """

    date: date
    minutes: int
    available: int | None
    height: float
    due: float
    over: float
    rail: float | None
    before: float | None


def most(days: Iterable[Minutes]) -> int:
    """The minutes that a fence has to have room for; at least one."""
    return max([1, *(max(day.minutes, day.available or 0) for day in days)])


def fence(days: Sequence[Minutes], tallest: int) -> tuple[Post, ...]:
    """The posts of some days that follow one another.

    Args:
        days: The days.
        tallest: The minutes at which a post is as tall as can be, so that two fences can be compared.
    """
    rails = [None if day.available is None else _percent(day.available, tallest) for day in days]
    return tuple(
        _post(day, rail, before if rail is not None and before != rail else None, tallest)
        for day, rail, before in zip(days, rails, [None, *rails], strict=False)
    )


def _percent(minutes: int, tallest: int) -> float:
    return round(HIGHEST * minutes / tallest, 1)


def _post(day: Minutes, rail: float | None, before: float | None, tallest: int) -> Post:
    within = day.minutes if day.available is None else min(day.minutes, day.available)
    due, over = _percent(within, tallest), _percent(day.minutes - within, tallest)
    height = max(LEAST, due + over, rail or 0.0)
    return Post(day.date, day.minutes, day.available, height, due, over, rail, before)
