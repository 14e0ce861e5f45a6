"""What balance promises: the best week there is, by brute force up to five jobs, and never a worse one."""

from __future__ import annotations

from itertools import product
from random import Random

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from coach.week.rules.balance import propose
from coach.week.rules.burden import Movable, WeekLoad

# Each takes about a hundredth of a second.
RANDOM_WEEKS = 600

jobs = st.builds(
    Movable,
    id=st.just("job"),
    minutes=st.one_of(st.sampled_from([10, 15, 30, 60]), st.integers(1, 240)),
    day=st.integers(0, 6),
    allowed=st.one_of(
        st.just(tuple(range(7))),
        st.lists(st.integers(0, 6), unique=True).map(lambda found: tuple(sorted(found))),
    ),
)
minutes = st.one_of(st.sampled_from([0, 30, 60]), st.integers(0, 300))


def weeks(most: int) -> st.SearchStrategy[WeekLoad]:
    fixed = st.tuples(*[minutes] * 7)
    available = st.tuples(*[st.one_of(st.none(), minutes)] * 7)
    return st.builds(WeekLoad, fixed, available, st.lists(jobs, max_size=most).map(tuple))


def weigh(week: WeekLoad, days: tuple[int, ...]) -> tuple[int, int, int, list[int]]:
    """Overload, heaviest day, jobs moved; then who stays, and who goes to which day, job by job."""
    loads = list(week.fixed)
    for job, day in zip(week.jobs, days, strict=True):
        loads[day] += job.minutes
    overload = sum(
        max(0, load - most) for load, most in zip(loads, week.available, strict=True) if most is not None
    )
    moved = [0 if day == job.day else 1 + day for job, day in zip(week.jobs, days, strict=True)]
    return overload, max(loads), sum(map(bool, moved)), moved


def brute_force(week: WeekLoad) -> tuple[int, ...]:
    ways = product(*({*job.allowed, job.day} for job in week.jobs))
    return min(ways, key=lambda days: weigh(week, days))


@settings(max_examples=60)
@given(weeks(5))
def test_up_to_five_jobs_it_is_the_best_of_all_weeks(week: WeekLoad) -> None:
    proposal = propose(week, seconds=60)
    assert proposal.days == brute_force(week)
    assert proposal.proven
    assert (proposal.after.overload, proposal.after.heaviest, proposal.after.moved) == weigh(
        week, proposal.days
    )[:3]


def random_week(chance: Random) -> WeekLoad:
    """A week of up to six jobs, most of them on one day; of about every third day nothing is said."""
    anywhere = tuple(range(7))
    jobs = tuple(
        Movable(
            f"job {number}",
            chance.choice([5, 10, 15, 30, 30, 45, 60, 90, chance.randint(1, 180)]),
            chance.choice([6, 6, chance.randrange(7)]),
            chance.choice([anywhere, anywhere, tuple(chance.sample(anywhere, 3))]),
        )
        for number in range(chance.randint(0, 6))
    )
    fixed = tuple(chance.choice([0, 4, 7, 37, chance.randrange(200)]) for _ in anywhere)
    available = tuple(chance.choice([None, None, 0, 30, 60, 90, chance.randrange(200)]) for _ in anywhere)
    return WeekLoad(fixed, available, jobs)


def best_of_all(week: WeekLoad) -> tuple[int, int, int]:
    """The least overload, heaviest day and jobs moved, in this order, over every way to place the jobs."""
    loads, moved = np.array([week.fixed]), np.zeros(1, int)
    for job in week.jobs:
        ways = sorted({*job.allowed, job.day})
        added = np.zeros((len(ways), 7), int)
        added[range(len(ways)), ways] = job.minutes
        loads = (loads[:, None, :] + added).reshape(-1, 7)
        moved = (moved[:, None] + (np.array(ways) != job.day)).ravel()
    no_limit = loads.max()
    limits = np.array([no_limit if most is None else most for most in week.available])
    overload, heaviest = np.maximum(loads - limits, 0).sum(axis=1), loads.max(axis=1)
    best = np.lexsort((moved, heaviest, overload))[0]
    return int(overload[best]), int(heaviest[best]), int(moved[best])


def test_random_weeks_with_days_of_which_nothing_is_said_are_balanced_as_well_as_can_be() -> None:
    for seed in range(RANDOM_WEEKS):
        week = random_week(Random(seed))  # noqa: S311  weeks, not secrets
        found = propose(week, seconds=60)
        weighed = (found.after.overload, found.after.heaviest, found.after.moved)
        assert (seed, found.proven, *weighed) == (seed, True, *best_of_all(week))


@settings(max_examples=25)
@given(weeks(12))
def test_no_week_is_worse_than_before(week: WeekLoad) -> None:
    proposal = propose(week)
    assert weigh(week, proposal.days)[:3] <= weigh(week, week.days)[:3]
    assert all(day in {*job.allowed, job.day} for job, day in zip(week.jobs, proposal.days, strict=True))
    assert sum(proposal.loads) == sum(week.fixed) + sum(job.minutes for job in week.jobs)
