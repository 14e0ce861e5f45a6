"""What balance promises: the best week there is, by brute force up to five jobs, and never a worse one."""

from __future__ import annotations

from itertools import product

from hypothesis import given, settings
from hypothesis import strategies as st

from coach.home.balance import Job, Week, balance

jobs = st.builds(
    Job,
    id=st.just("job"),
    minutes=st.one_of(st.sampled_from([10, 15, 30, 60]), st.integers(1, 240)),
    day=st.integers(0, 6),
    allowed=st.one_of(
        st.just(tuple(range(7))),
        st.lists(st.integers(0, 6), unique=True).map(lambda found: tuple(sorted(found))),
    ),
)
minutes = st.one_of(st.sampled_from([0, 30, 60]), st.integers(0, 300))


def weeks(most: int) -> st.SearchStrategy[Week]:
    fixed = st.tuples(*[minutes] * 7)
    available = st.tuples(*[st.one_of(st.none(), minutes)] * 7)
    return st.builds(Week, fixed, available, st.lists(jobs, max_size=most).map(tuple))


def weigh(week: Week, days: tuple[int, ...]) -> tuple[int, int, int, list[int]]:
    """Overload, heaviest day, jobs moved; then who stays, and who goes to which day, job by job."""
    loads = list(week.fixed)
    for job, day in zip(week.jobs, days, strict=True):
        loads[day] += job.minutes
    overload = sum(
        max(0, load - most) for load, most in zip(loads, week.available, strict=True) if most is not None
    )
    moved = [0 if day == job.day else 1 + day for job, day in zip(week.jobs, days, strict=True)]
    return overload, max(loads), sum(map(bool, moved)), moved


def brute_force(week: Week) -> tuple[int, ...]:
    ways = product(*({*job.allowed, job.day} for job in week.jobs))
    return min(ways, key=lambda days: weigh(week, days))


@settings(max_examples=60)
@given(weeks(5))
def test_up_to_five_jobs_it_is_the_best_of_all_weeks(week: Week) -> None:
    proposal = balance(week)
    assert proposal.days == brute_force(week)
    assert proposal.proven
    assert (proposal.after.overload, proposal.after.heaviest, proposal.after.moved) == weigh(
        week, proposal.days
    )[:3]


@settings(max_examples=25)
@given(weeks(12))
def test_no_week_is_worse_than_before(week: Week) -> None:
    proposal = balance(week)
    assert weigh(week, proposal.days)[:3] <= weigh(week, week.days)[:3]
    assert all(day in {*job.allowed, job.day} for job, day in zip(week.jobs, proposal.days, strict=True))
    assert sum(proposal.loads) == sum(week.fixed) + sum(job.minutes for job in week.jobs)
