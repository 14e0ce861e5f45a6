"""Tern Street, an invented household: weeks of days with good ones, bad ones, a lapse and the way back."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from random import Random
from typing import TYPE_CHECKING

from coach.progress.log import Row, What
from coach.progress.replay import replay

if TYPE_CHECKING:
    from collections.abc import Iterator

    from coach.course.model import Course

ZONE = "Europe/Lisbon"
SEED = 1847
DAYS_BEFORE = 63


@dataclass(frozen=True, slots=True)
class Stretch:
    """Days in a row that went alike.

    Attributes:
        days: How many.
        kept: Chance that a line is kept.
        small: Chance that a kept one is the small version.
        unmarked: Chance that nothing is marked on a day.
    """

    days: int
    kept: float
    small: float = 0.15
    unmarked: float = 0.0


STORY = (
    Stretch(30, kept=0.95),
    Stretch(4, kept=0.45, small=0.4),
    Stretch(7, kept=0.85, unmarked=0.05),
    Stretch(17, kept=0.0, unmarked=1.0),
    Stretch(DAYS_BEFORE - 58, kept=0.9, small=0.3),
)


def tern_street(course: Course, today: date) -> list[Row]:
    """The log of Tern Street up to yesterday, always the same for a date.

    Two adults on changing shifts, a teenager and a dog: four good weeks, a rough week of night shifts, then
    more than two weeks with nothing marked, and a return that is still on its way.
    """
    start = today - timedelta(days=DAYS_BEFORE)
    rows = [
        Row(start, What.ZONE, value=ZONE),
        Row(start, What.DAY_STARTS, value="03:00"),
        Row(start, What.START, course.roots[0].id, "standard"),
    ]
    random = Random(SEED)  # noqa: S311  a story, not a secret
    for day, stretch in _days(start):
        checklist = replay(course, rows, day).checklist
        if random.random() >= stretch.unmarked:
            rows += [Row(day, _mark(random, stretch), step) for step in checklist]
    return rows


def _days(start: date) -> Iterator[tuple[date, Stretch]]:
    day = start
    for stretch in STORY:
        for _ in range(stretch.days):
            yield day, stretch
            day += timedelta(days=1)


def _mark(random: Random, stretch: Stretch) -> What:
    if random.random() >= stretch.kept:
        return What.MISSED
    return What.SMALL if random.random() < stretch.small else What.KEPT
