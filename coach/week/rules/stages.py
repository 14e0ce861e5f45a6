"""The mixed-integer programme behind balance, solved one aim after the other by HiGHS through SciPy.

Variables are, in this order, a 0 or 1 for every job and day, each day's overload, and the heaviest day.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp

from coach.ground.weeks import DAYS_IN_WEEK
from coach.week.rules.burden import burden, loads_of, overloads

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from coach.week.rules.burden import Movable, WeekLoad

    Numbers = NDArray[np.float64]

# Every aim takes whole numbers only, so that a bound between two of them allows for the solver's tolerance.
_SLACK = 0.25

# Far beyond what the weeks of a home need. A search that ends here, and not because its time is up, finds the
# same on every machine.
_NODES = 1500


class Stages:
    """A week's programme, with the aims reached so far as constraints.

    Attributes:
        days: The day of each job in the best solution so far.
        aims: By name the aims of the least minutes beyond those available, the least minutes on the heaviest
            day, and the fewest jobs moved.
    """

    def __init__(self, week: WeekLoad) -> None:
        self.days = week.days
        self._week = week
        self._jobs = week.jobs
        self._places = len(week.jobs) * DAYS_IN_WEEK
        self._bounds = self._bounds_of(week)
        self._rows: list[Numbers] = []
        self._lowest: list[float] = []
        self._highest: list[float] = []
        self._put_each_job_on_one_day()
        self._weigh_each_day(week)
        away = [[float(day != job.day) for day in range(DAYS_IN_WEEK)] for job in week.jobs]
        self.aims = {
            "overload": self._aim(self._places, DAYS_IN_WEEK),
            "heaviest": self._aim(self._places + DAYS_IN_WEEK, 1),
            "moved": self._costs(away),
        }

    def least(self, aim: Numbers, seconds: float) -> bool:
        """Make an aim as small as it can be, or as it is found to be in time, and keep it so.

        Returns:
            Whether it is known to be the least.
        """
        # No aim is ever below nothing.
        known = self._cost(aim, self.days) == 0 or self._solve(aim, seconds)
        self._keep(aim, highest=self._cost(aim, self.days) + _SLACK)
        return known

    def _solve(self, aim: Numbers, seconds: float) -> bool:
        whole = np.zeros(aim.size)
        whole[: self._places] = 1
        solved = milp(
            aim,
            integrality=whole,
            bounds=self._bounds,
            constraints=LinearConstraint(np.array(self._rows), self._lowest, self._highest),
            # No gap: nothing short of the best will do, however large the minutes are.
            options={"mip_rel_gap": 0.0, "node_limit": _NODES, "time_limit": seconds},
        )
        if solved.x is not None:
            self._take(aim, solved.x)
        return bool(solved.success)

    def _take(self, aim: Numbers, solution: Numbers) -> None:
        """Take a solution's days unless those there are already are better."""
        chosen = solution[: self._places].reshape(-1, DAYS_IN_WEEK).argmax(axis=1)
        days = tuple(int(day) for day in chosen)
        new, old = ((burden(self._week, one), self._cost(aim, one)) for one in (days, self.days))
        if new <= old:
            self.days = days

    def _cost(self, aim: Numbers, days: Sequence[int]) -> int:
        """What an aim comes to with the jobs on these days."""
        loads = loads_of(self._week, days)
        places = np.zeros((len(days), DAYS_IN_WEEK))
        places[np.arange(len(days)), list(days)] = 1
        point = [*places.ravel(), *overloads(self._week, loads), max(loads)]
        return round(float(aim @ np.array(point)))

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

    def _bounds_of(self, week: WeekLoad) -> Bounds:
        allowed = [[day in (*job.allowed, job.day) for day in range(DAYS_IN_WEEK)] for job in week.jobs]
        highest = np.concatenate([np.array(allowed, float).ravel(), np.full(DAYS_IN_WEEK + 1, np.inf)])
        return Bounds(0, highest)

    def _keep(self, row: Numbers, lowest: float = -np.inf, highest: float = np.inf) -> None:
        self._rows.append(row)
        self._lowest.append(lowest)
        self._highest.append(highest)

    def _put_each_job_on_one_day(self) -> None:
        for job in range(len(self._jobs)):
            self._keep(self._aim(job * DAYS_IN_WEEK, DAYS_IN_WEEK), 1, 1)

    def _weigh_each_day(self, week: WeekLoad) -> None:
        """A day's overload and the heaviest day are each no less than what the day's jobs make them."""
        for day in range(DAYS_IN_WEEK):
            jobs = self._aim(0, 0)
            jobs[day : self._places : DAYS_IN_WEEK] = [-job.minutes for job in self._jobs]
            self._keep(jobs + self._aim(self._places + DAYS_IN_WEEK, 1), week.fixed[day])
            available = week.available[day]
            if available is not None:
                self._keep(jobs + self._aim(self._places + day, 1), week.fixed[day] - available)


def _preference(job: Movable) -> tuple[int, ...]:
    return tuple(0 if day == job.day else day + 1 for day in range(DAYS_IN_WEEK))
