from __future__ import annotations

from time import perf_counter
from typing import Any

import pytest
from scipy.optimize import milp

from coach.errors import Malformed
from coach.week.rules import stages
from coach.week.rules.balance import propose
from coach.week.rules.burden import Burden, Movable, WeekLoad, burden

FREE = (0,) * 7
UNSAID = (None,) * 7


def week(
    *jobs: tuple[int, int], fixed: tuple[int, ...] = FREE, available: tuple[int | None, ...] = UNSAID
) -> WeekLoad:
    return WeekLoad(
        fixed, available, tuple(Movable(f"job {number}", *job) for number, job in enumerate(jobs))
    )


def test_a_week_that_is_even_stays_as_it_is() -> None:
    proposal = propose(week((30, 0), (30, 3)))
    assert (proposal.days, proposal.moves) == ((0, 3), {})
    assert proposal.before == proposal.after == Burden(0, 30, 0)


def test_jobs_leave_an_overloaded_day() -> None:
    proposal = propose(week((60, 0), (30, 0), available=(60, 20, 30, 0, 0, 0, 0)))
    assert proposal.moves == {"job 1": 2}
    assert (proposal.before, proposal.after) == (Burden(30, 90, 0), Burden(0, 60, 1))
    assert proposal.loads == (60, 0, 30, 0, 0, 0, 0)


def test_less_overload_matters_more_than_an_even_week() -> None:
    # All on Sunday, the one day without a limit, overloads nobody.
    proposal = propose(week((50, 0), (50, 1), available=(0, 0, 0, 0, 0, 0, None)))
    assert proposal.days == (6, 6)
    assert proposal.after == Burden(0, 100, 2)


def test_an_even_week_matters_more_than_few_moves() -> None:
    proposal = propose(week((20, 0), (20, 0), (20, 0)))
    assert proposal.after == Burden(0, 20, 2)


def test_few_moves_matter_more_than_which_job_stays() -> None:
    assert propose(week((60, 0), (30, 0), (30, 0))).days == (1, 0, 0)


def test_of_equal_proposals_the_first_jobs_stay_and_the_others_go_to_the_earliest_days() -> None:
    assert propose(week((20, 3), (20, 3), (20, 3))).days == (3, 0, 1)


def test_a_job_goes_to_allowed_days_only() -> None:
    jobs = (Movable("a", 30, 0, (0, 5)), Movable("b", 30, 0, (4,)), Movable("c", 30, 0, ()))
    assert propose(WeekLoad(FREE, UNSAID, jobs)).days == (5, 4, 0)


def test_what_is_fixed_counts() -> None:
    assert propose(week((30, 0), fixed=(40, 60, 60, 60, 60, 60, 5))).days == (6,)


def test_a_week_without_jobs_has_nothing_to_balance() -> None:
    proposal = propose(week(fixed=(90, 0, 0, 0, 0, 0, 0), available=(60,) * 7))
    assert (proposal.days, proposal.after) == ((), Burden(30, 90, 0))


def test_large_weeks_keep_to_the_minute() -> None:
    available = (20_000, 1, 0, 0, 0, 0, 0)
    proposal = propose(week((1, 0), (1, 0), fixed=(20_001, 0, 20_000, 0, 0, 0, 0), available=available))
    assert proposal.after == Burden(20_002, 20_001, 2)


def test_a_search_that_ends_before_its_time_leaves_no_week_worse_and_always_comes_out_the_same(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(stages, "_NODES", 1)
    jobs = [((37 * number) % 180 + 7, number % 3) for number in range(20)]
    proposal = propose(week(*jobs, available=(120,) * 7), seconds=60)
    assert not proposal.proven
    assert proposal.after < proposal.before
    assert propose(proposal.week, seconds=60) == proposal


def full_week() -> WeekLoad:
    """A week of the most jobs there can be, of odd minutes."""
    jobs = [((37 * number) % 113 + 7, number % 3) for number in range(24)]
    return week(*jobs, fixed=(61, 89, 97, 131, 53, 71, 43), available=(120,) * 7)


def test_the_searches_of_a_proposal_have_two_seconds_together(monkeypatch: pytest.MonkeyPatch) -> None:
    given = []

    def noting(aim: object, *, options: dict[str, float], **others: object) -> object:
        given.append(options["time_limit"])
        return milp(aim, options=options, **others)

    monkeypatch.setattr(stages, "milp", noting)
    propose(week(*[(30, number % 2) for number in range(24)], available=(60,) * 7))
    assert len(given) == 3 + 5
    assert sum(given) == pytest.approx(2)


def test_ties_are_settled_five_jobs_at_once_so_that_no_weight_outgrows_the_solver(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    aims = []

    def noting(aim: Any, **others: object) -> object:  # noqa: ANN401  an array of NumPy's
        aims.append(aim)
        return milp(aim, **others)

    monkeypatch.setattr(stages, "milp", noting)
    propose(week(*[(30, 6)] * 15, available=(60,) * 7))
    assert [sum(aim != 0) for aim in aims[3:]] == [5 * 6] * 3
    assert max(max(aim) for aim in aims) <= 7 * 8**4


def test_a_single_minute_too_many_is_taken_away() -> None:
    assert propose(week((1, 0), available=(0, 1, 1, 1, 1, 1, 1))).after.overload == 0


@pytest.mark.parametrize("seconds", [0.0, 0.05])
def test_a_proposal_whose_time_is_up_is_never_worse_and_says_that_it_is_not_proven(seconds: float) -> None:
    begun = perf_counter()
    proposal = propose(full_week(), seconds)
    assert perf_counter() - begun < 5
    assert not proposal.proven
    assert proposal.after <= proposal.before
    assert burden(proposal.week, proposal.days) == proposal.after


def test_a_week_that_is_none_is_refused() -> None:
    with pytest.raises(Malformed, match="7 days"):
        WeekLoad((0,), UNSAID, ())
    with pytest.raises(Malformed, match="25 jobs to move"):
        week(*[(5, 0)] * 25)
