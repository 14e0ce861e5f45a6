"""Simulated households against what is known without simulating: the ramp, closed forms, exact chances."""

from __future__ import annotations

from dataclasses import replace
from math import sqrt
from random import Random

import numpy as np
import pytest

from coach.coaching.library import find_course
from coach.course.model import Course, Hold
from coach.pace.exact import exact
from coach.pace.lots import Simulation, begun, follow_lots
from coach.pace.opening import LAPSED
from coach.pace.sizes import LOT
from coach.progress.ramp import ramp
from pace.random_homes import random_course

SHIPPED = find_course("three-weeks")
DAYS = 200
MANY_ERRORS = 4.0
"""Standard errors: more is seen once in 16,000 times, and the seeds are fixed."""


def everything_kept(course: Course, pace: str) -> tuple[list[int], list[int]]:
    """The days, from 1, on which the last waiting step settles and the steady time begins; empty if none."""
    rules, first = begun(course, pace)
    tally = follow_lots(Simulation(rules, first, 5, DAYS, 3, 1.0, 1.0), [0])
    assert set(tally.done.tolist()) | set(tally.steady.tolist()) <= {0, 5}
    return (np.flatnonzero(tally.done) + 1).tolist(), (np.flatnonzero(tally.steady) + 1).tolist()


def by_the_ramp(course: Course, pace: str) -> tuple[list[int], list[int]]:
    found = ramp(course, "", pace, DAYS)
    waiting = [step.id for step in course.steps if step.waits]
    if not all(step in found.settled for step in waiting):
        return [], []
    done = max((found.settled[step] for step in waiting), default=0)
    if len(found.introduced) < len(course.steps):
        return [max(done, 1)], []
    steady = max(done + 1, *found.introduced.values())
    return [max(done, 1)], [steady] * (steady <= DAYS)


@pytest.mark.parametrize("pace", ["standard", "gentle"])
def test_with_everything_kept_all_are_through_on_the_day_the_ramp_of_the_shipped_course_says(
    pace: str,
) -> None:
    found = everything_kept(SHIPPED, pace)
    assert found == by_the_ramp(SHIPPED, pace)
    assert found[0] == [{"standard": 21, "gentle": 28}[pace]]


def test_with_everything_kept_all_are_through_on_the_day_the_ramp_of_any_course_says() -> None:
    through = 0
    for seed in range(25):
        random = Random(seed)  # noqa: S311  a story, not a secret
        course = random_course(random)
        pace = random.choice(tuple(course.paces))
        found = everything_kept(course, pace)
        assert found == by_the_ramp(course, pace), seed
        through += bool(found[1])
    assert through > 8


def test_who_falls_quiet_for_good_has_lapsed_a_week_later_with_the_chance_of_the_closed_form() -> None:
    """A daily first step is due every day, so the d-th day is empty for whoever was quiet on it."""
    drop, days, away = 0.02, 60, SHIPPED.lapse_after
    rules, first = begun(SHIPPED, "standard")
    tally = follow_lots(Simulation(rules, first, 2 * LOT, days, 5, 0.7, 0.95, begins=drop), [0, 1])
    for day in range(1, days + 1):
        chance = 1 - (1 - drop) ** max(0, day - away)
        spread = sqrt(chance * (1 - chance) / (2 * LOT))
        share = tally.phases[day - 1, LAPSED] / (2 * LOT)
        assert abs(share - chance) <= MANY_ERRORS * spread, day
    assert tally.phases[-1, LAPSED] > LOT


@pytest.mark.parametrize(("adherence", "pace"), [(0.6, "standard"), (0.8, "standard"), (0.8, "gentle")])
def test_without_holds_days_to_settle_are_distributed_as_worked_out_exactly(
    adherence: float, pace: str
) -> None:
    free = replace(SHIPPED, hold=Hold(0.0, SHIPPED.hold.over))
    rules, first = begun(free, pace)
    many, days = 3 * LOT, 90
    tally = follow_lots(Simulation(rules, first, many, days, 11, adherence, adherence), range(3))
    told = exact(free, pace, adherence).days
    half = told.quantile(0.5)
    assert half is not None
    through = np.cumsum(tally.done) / many
    furthest = max(abs(through[day - 1] - told.within(day)) for day in range(1, days + 1))
    # Dvoretzky, Kiefer, Wolfowitz with Massart's constant: more than this is seen once in 10,000 times.
    assert furthest <= sqrt(np.log(2 / 1e-4) / (2 * many))
    assert 0.4 < through[half - 1] < 0.7
