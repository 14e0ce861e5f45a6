"""The mixed-integer programme behind balance, solved one aim after the other by HiGHS through SciPy.

Variables are, in this order, a 0 or 1 for every job and day, each day's overload, and the heaviest day.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp

from coach.home.balance import burden
from coach.home.weeks import DAYS_IN_WEEK

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from coach.home.balance import Job, Week

    Numbers = NDArray[np.float64]

# Every aim takes whole numbers only, so that a bound between two of them allows for the solver's tolerance.
_SLACK = 0.25

# Far beyond what the weeks of a home need. It counts nodes of the search, not seconds, so that the same week
# always gets the same proposal.
_NODES = 1500


class Stages:
    """A week's programme, with the aims reached so far as constraints.

    Attributes:
        days: The day of each job in the best solution so far.
        proven: Whether the searches all ran to their end.
        overload: The aim of the least minutes beyond those available.
        heaviest: The aim of the least minutes on the heaviest day.
        moved: The aim of the fewest jobs moved.
    """

    def __init__(self, week: Week) -> None:
        self.days = week.days
        self.proven = True
        self._week = week
        self._jobs = week.jobs
        self._places = len(week.jobs) * DAYS_IN_WEEK
        self._bounds = self._bounds_of(week)
        self._constraints = [self._one_day_each(), *self._day_by_day(week)]
        self.overload = self._aim(self._places, DAYS_IN_WEEK)
        self.heaviest = self._aim(self._places + DAYS_IN_WEEK, 1)
        self.moved = self._costs(
            [[float(day != job.day) for day in range(DAYS_IN_WEEK)] for job in week.jobs]
        )

    def least(self, aim: Numbers) -> None:
        """Make an aim as small as it can be, or as it could be found to be, and keep it so."""
        whole = np.zeros(aim.size)
        whole[: self._places] = 1
        # No gap: nothing short of the best will do, however large the minutes are.
        options = {"mip_rel_gap": 0.0, "node_limit": _NODES}
        solved = milp(
            aim, integrality=whole, bounds=self._bounds, constraints=self._constraints, options=options
        )
        self.proven = self.proven and bool(solved.success)
        if solved.x is not None:
            self._take(solved.x)
            self._constraints.append(LinearConstraint(aim, ub=round(float(aim @ solved.x)) + _SLACK))

    def _take(self, solution: Numbers) -> None:
        """Take a solution's days unless those there are already are better."""
        chosen = solution[: self._places].reshape(-1, DAYS_IN_WEEK).argmax(axis=1)
        days = tuple(int(day) for day in chosen)
        if burden(self._week, days) <= burden(self._week, self.days):
            self.days = days

    def ties(self, jobs: Sequence[int]) -> Numbers:
        """The aim that each of these jobs stays, else goes to the earliest day, the first ones before all."""
        costs = [[0.0] * DAYS_IN_WEEK for _ in self._jobs]
        for weight, job in enumerate(reversed(jobs)):
            costs[job] = [float(cost * (DAYS_IN_WEEK + 1) ** weight) for cost in _preference(self._jobs[job])]
        return self._costs(costs)

    def _aim(self, first: int, count: int) -> Numbers:
        aim = np.zeros(self._places + DAYS_IN_WEEK + 1)
        aim[first : first + count] = 1
        return aim

    def _costs(self, costs: Sequence[Sequence[float]]) -> Numbers:
        aim = self._aim(0, 0)
        aim[: self._places] = np.array(costs).ravel()
        return aim

    def _bounds_of(self, week: Week) -> Bounds:
        allowed = [[day in (*job.allowed, job.day) for day in range(DAYS_IN_WEEK)] for job in week.jobs]
        highest = np.concatenate([np.array(allowed, float).ravel(), np.full(DAYS_IN_WEEK + 1, np.inf)])
        return Bounds(0, highest)

    def _one_day_each(self) -> LinearConstraint:
        rows = np.zeros((len(self._jobs), self._places + DAYS_IN_WEEK + 1))
        for job in range(len(self._jobs)):
            rows[job, job * DAYS_IN_WEEK : (job + 1) * DAYS_IN_WEEK] = 1
        return LinearConstraint(rows, lb=1, ub=1)

    def _day_by_day(self, week: Week) -> list[LinearConstraint]:
        """A day's overload and the heaviest day are each no less than what the day's jobs make them."""
        rows = []
        for day in range(DAYS_IN_WEEK):
            jobs = self._aim(0, 0)
            jobs[day : self._places : DAYS_IN_WEEK] = [-job.minutes for job in self._jobs]
            rows.append(
                LinearConstraint(jobs + self._aim(self._places + DAYS_IN_WEEK, 1), lb=week.fixed[day])
            )
            available = week.available[day]
            if available is not None:
                over = jobs + self._aim(self._places + day, 1)
                rows.append(LinearConstraint(over, lb=week.fixed[day] - available))
        return rows


def _preference(job: Job) -> tuple[int, ...]:
    return tuple(0 if day == job.day else day + 1 for day in range(DAYS_IN_WEEK))
