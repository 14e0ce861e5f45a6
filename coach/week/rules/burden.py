"""A week to be balanced, and how good it is with its jobs on these days or others (home rules)."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from coach.errors import Malformed
from coach.ground.weeks import DAYS_IN_WEEK
from coach.week.rules.load import overload

if TYPE_CHECKING:
    from collections.abc import Sequence

MOST_JOBS = 24


@dataclass(frozen=True, slots=True)
class Movable:
    """A weekly job that may be moved to another day of the week.

    Attributes:
        id: The step's id.
        day: The place in the week of the day it sits on, 0 to 6 from the week's first day.
        allowed: The days it may sit on; its own is always one of them.
    """

    id: str
    minutes: int
    day: int
    allowed: tuple[int, ...] = tuple(range(DAYS_IN_WEEK))


@dataclass(frozen=True, slots=True)
class WeekLoad:
    """A week to be balanced; days are meant by their place in the week, 0 to 6.

    Attributes:
        fixed: Minutes of each day that stay where they are.
        available: Minutes available on each day; None where the household has not said, so there is no limit.
        jobs: The movable jobs.
    """

    fixed: tuple[int, ...]
    available: tuple[int | None, ...]
    jobs: tuple[Movable, ...]

    def __post_init__(self) -> None:
        """Refuse a week that is none."""
        if len(self.fixed) != DAYS_IN_WEEK or len(self.available) != DAYS_IN_WEEK:
            raise Malformed(f"A week has {DAYS_IN_WEEK} days.")
        if len(self.jobs) > MOST_JOBS:
            raise Malformed(
                f"These are {len(self.jobs)} jobs to move. At most {MOST_JOBS} can be balanced at once."
            )

    @property
    def days(self) -> tuple[int, ...]:
        """The days the jobs sit on now, in their order."""
        return tuple(job.day for job in self.jobs)


@dataclass(frozen=True, slots=True, order=True)
class Burden:
    """How good a week is, less being better, in the order of the attributes.

    Attributes:
        overload: Minutes beyond those available, over all days.
        heaviest: Minutes of the heaviest day.
        moved: How many jobs moved.
    """

    overload: int
    heaviest: int
    moved: int


def loads_of(week: WeekLoad, days: Sequence[int]) -> tuple[int, ...]:
    """Minutes of each day, with the jobs on these days."""
    loads = list(week.fixed)
    for job, day in zip(week.jobs, days, strict=True):
        loads[day] += job.minutes
    return tuple(loads)


def overloads(week: WeekLoad, loads: Sequence[int]) -> tuple[int, ...]:
    """Minutes of each day beyond those available; a day of which nothing was said has no limit."""
    return tuple(overload(load, available) for load, available in zip(loads, week.available, strict=True))


def burden(week: WeekLoad, days: Sequence[int]) -> Burden:
    """How good the week is with the jobs on these days."""
    loads = loads_of(week, days)
    moved = sum(job.day != day for job, day in zip(week.jobs, days, strict=True))
    return Burden(sum(overloads(week, loads)), max(loads), moved)
