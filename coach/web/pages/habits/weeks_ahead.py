"""The dates of forecasts on a line of the weeks ahead, ready to be drawn."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from coach.ground.weeks import DAYS_IN_WEEK
from coach.habits.forecast_words import said_date

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import date

    from coach.habits.forecast_answers import Span

WIDTH = 320
"""Of a drawing, in pixels of a small phone; its line begins and ends `_EDGE` inside."""
_EDGE = 4
_NEAR = 60
"""A date nearer to an end than this is written away from that end."""
_MOST_TICKS = 27
_APART = (1, 4, 13)
"""By how many weeks ticks lie apart: the first that leaves few enough."""


@dataclass(frozen=True, slots=True)
class Place:
    """A date on the line.

    Attributes:
        x: How far right.
        text: The date in words.
        anchor: Which part of the words stands there.
    """

    x: float
    text: str
    anchor: Literal["start", "middle", "end"]


@dataclass(frozen=True, slots=True)
class WeeksAhead:
    """A line of the weeks from today on.

    Attributes:
        width: Of the drawing.
        ticks: Where each week begins, or of many each fourth or each thirteenth.
        band: From where to where the central 80 % lie.
        median: The date by which the chance is 1 in 2.
        likely: The one by which it is 8 in 10.
        ends: What the end of the line is, in words.
        range_text: The band in words.
    """

    width: int
    ticks: tuple[float, ...]
    band: tuple[float, float]
    median: Place
    likely: Place
    ends: str
    range_text: str


def weeks_for(spans: Iterable[Span], on: date) -> int:
    """How many weeks a line has that all the dates of some forecasts stand on."""
    dates = [day for span in spans for day in (span.to, span.likely) if day is not None]
    return max((-(-((day - on).days + 1) // DAYS_IN_WEEK) for day in dates), default=1)


def weeks_ahead(span: Span, on: date, weeks: int) -> WeeksAhead | None:
    """A forecast on a line of so many weeks; None for one without dates."""
    if span.from_ is None or span.to is None or span.median is None or span.likely is None:
        return None

    def across(days: float) -> float:
        return round(_EDGE + (WIDTH - 2 * _EDGE) * days / (weeks * DAYS_IN_WEEK), 1)

    def place(day: date) -> Place:
        x = across((day - on).days + 0.5)
        anchor: Literal["start", "middle", "end"] = "middle"
        if x < _NEAR:
            anchor = "start"
        elif x > WIDTH - _NEAR:
            anchor = "end"
        return Place(x, said_date(day, on), anchor)

    first, last = said_date(span.from_, on), said_date(span.to, on)
    apart = next((apart for apart in _APART if weeks < _MOST_TICKS * apart), _APART[-1])
    return WeeksAhead(
        width=WIDTH,
        ticks=tuple(across(week * DAYS_IN_WEEK) for week in range(0, weeks + 1, apart)),
        band=(across((span.from_ - on).days), across((span.to - on).days + 1)),
        median=place(span.median),
        likely=place(span.likely),
        ends="in a week" if weeks == 1 else f"in {weeks} weeks",
        range_text=f"About 8 in 10 lie in the band, from {first} to {last}.",
    )
