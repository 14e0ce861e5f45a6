"""Balance: weekdays for the movable jobs under which the week's load is as even as it can be (home.md §3)."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from coach.errors import Malformed
from coach.home.weeks import DAYS_IN_WEEK

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence


MOST_JOBS = 24
_TIED_AT_ONCE = 5


@dataclass(frozen=True, slots=True)
class Job:
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
class Week:
    """A week to be balanced; days are meant by their place in the week, 0 to 6.

    Attributes:
        fixed: Minutes of each day that stay where they are.
        available: Minutes available on each day; None where the household has not said, so there is no limit.
        jobs: The movable jobs.
    """

    fixed: tuple[int, ...]
    available: tuple[int | None, ...]
    jobs: tuple[Job, ...]

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


@dataclass(frozen=True, slots=True)
class Proposal:
    """What balance proposes; nothing changes until the household accepts it.

    Attributes:
        days: A day for each job, in their order.
        loads: Minutes of each day, under the proposal.
        proven: Whether it is known to be the best. With many jobs of odd minutes the search may be cut short;
            what it found is proposed then, and is never worse than what was.
    """

    week: Week
    days: tuple[int, ...]
    before: Burden
    after: Burden
    loads: tuple[int, ...]
    proven: bool

    @property
    def moves(self) -> Mapping[str, int]:
        """The jobs that would move, each with its new day."""
        pairs = zip(self.week.jobs, self.days, strict=True)
        return {job.id: day for job, day in pairs if day != job.day}


def loads_of(week: Week, days: Sequence[int]) -> tuple[int, ...]:
    """Minutes of each day, with the jobs on these days."""
    loads = list(week.fixed)
    for job, day in zip(week.jobs, days, strict=True):
        loads[day] += job.minutes
    return tuple(loads)


def burden(week: Week, days: Sequence[int]) -> Burden:
    """How good the week is with the jobs on these days."""
    loads = loads_of(week, days)
    over = (
        max(0, load - available)
        for load, available in zip(loads, week.available, strict=True)
        if available is not None
    )
    moved = sum(job.day != day for job, day in zip(week.jobs, days, strict=True))
    return Burden(sum(over), max(loads), moved)


def balance(week: Week) -> Proposal:
    """The days under which total overload, then the heaviest day, then the jobs moved are the least.

    Of proposals that are equal in all three, the first job stays if it can, else goes to the earliest day
    possible; then the second, and so on. So the same week always gets the same proposal.
    """
    days, proven = _best_days(week) if week.jobs else ((), True)
    before, after = burden(week, week.days), burden(week, days)
    return Proposal(week, days, before, after, loads_of(week, days), proven)


def _best_days(week: Week) -> tuple[tuple[int, ...], bool]:
    """Solve stage by stage, each one holding what the stages before it have reached."""
    from coach.home.stages import Stages  # noqa: PLC0415  SciPy takes half a second to load

    stages = Stages(week)
    stages.least(stages.overload)
    stages.least(stages.heaviest)
    stages.least(stages.moved)
    for first in range(0, len(week.jobs), _TIED_AT_ONCE) if stages.proven else ():
        stages.least(stages.ties(range(first, min(first + _TIED_AT_ONCE, len(week.jobs)))))
    return stages.days, stages.proven
