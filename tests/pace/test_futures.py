"""Futures followed to their ends: how days go by what is believed, and when the last waiting step settles."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

import numpy as np
import pytest

from coach.coaching.library import find_course
from coach.pace.believed import Believed
from coach.pace.block import fresh
from coach.pace.evidence import KINDS, Kind, kind_of
from coach.pace.following import Follower
from coach.pace.futures import NEVER, Futures
from coach.pace.posterior import WEEKDAYS, Drawn
from coach.pace.rulebook import rulebook_at

if TYPE_CHECKING:
    from collections.abc import Sequence

COURSE = find_course("three-weeks")
STARTED = date(2027, 1, 4)
SURE, NEVER_KEPT = 60.0, -60.0
DAYS = 60


def drawn(levels: Sequence[float], begins: float = 0.0, ends: float = 1.0) -> Drawn:
    many = len(levels)
    return Drawn(
        np.array(levels),
        np.zeros((KINDS, many)),
        np.zeros((WEEKDAYS, many)),
        np.full(many, begins),
        np.full(many, ends),
    )


def futures(found: Drawn, pace: str = "standard", *, quiet: bool = False) -> Futures:
    days = [STARTED + timedelta(days=day) for day in range(DAYS + 1)]
    follower, many = Follower(rulebook_at(COURSE, pace), days), found.level.size
    believed = Believed(found, [kind_of(step) for step in COURSE.steps], [day.weekday() for day in days], 0.0)
    block = fresh(follower.rules, many, DAYS)
    return Futures(follower, block, believed, np.full(many, quiet), np.random.default_rng(1))


@pytest.mark.parametrize(("pace", "day"), [("standard", 21), ("gentle", 28)])
def test_with_everything_kept_all_are_done_on_the_day_the_course_says(pace: str, day: int) -> None:
    going = futures(drawn([SURE] * 3), pace)
    going.follow(0, [False] * DAYS)
    assert going.settled_on.tolist() == [day - 1] * 3


def test_one_that_keeps_nothing_is_never_done() -> None:
    going = futures(drawn([SURE, NEVER_KEPT, SURE]))
    going.follow(0, [False] * DAYS)
    assert going.settled_on.tolist() == [20, NEVER, 20]


def test_those_who_are_done_are_left_behind_and_the_others_go_on_as_they_are() -> None:
    """Slower ones finish among swift ones as they do by themselves, but for chance: here with none."""
    going = futures(drawn([SURE, SURE, NEVER_KEPT, SURE]))
    going.follow(0, [False] * DAYS)
    assert going.settled_on.tolist() == [20, 20, NEVER, 20]


def test_following_ends_once_enough_are_done() -> None:
    going = futures(drawn([SURE] * 9 + [1.5]))
    going.follow(0, [False] * DAYS, enough=0.9)
    assert sorted(going.settled_on.tolist()) == [20] * 9 + [NEVER]


def test_paused_days_put_the_end_off_by_as_many() -> None:
    paused = [3 <= day < 8 for day in range(DAYS)]
    going = futures(drawn([SURE] * 2))
    going.follow(0, paused)
    assert going.settled_on.tolist() == [25] * 2


def test_whoever_is_quiet_and_stays_so_is_never_done() -> None:
    going = futures(drawn([SURE] * 2, ends=0.0), quiet=True)
    going.follow(0, [False] * DAYS)
    assert going.settled_on.tolist() == [NEVER] * 2


def test_whoever_is_quiet_may_be_back_tomorrow() -> None:
    going = futures(drawn([SURE] * 2), quiet=True)
    going.follow(0, [False] * DAYS)
    assert going.settled_on.tolist() == [20] * 2


def test_a_chance_is_that_of_level_kind_and_weekday_together() -> None:
    found = drawn([0.5, -200.0, 200.0])
    found.kinds[Kind.SELDOM] = 0.25
    found.weekdays[2] = -1.0
    believed = Believed(found, [Kind.MORNING, Kind.SELDOM], [0, 2], 0.0)
    assert believed.kept(0)[:, 0] == pytest.approx([1 / (1 + np.exp(-0.5)), 1 / (1 + np.exp(-0.75))])
    assert believed.kept(1)[:, 0] == pytest.approx([1 / (1 + np.exp(0.5)), 1 / (1 + np.exp(0.25))])
    assert believed.kept(1)[:, 1:] == pytest.approx(np.array([[0.0, 1.0]] * 2))


def test_levels_drift_from_night_to_night_and_nothing_else_does() -> None:
    found = drawn([1.0] * 5000, begins=0.2, ends=0.3)
    believed = Believed(found, [Kind.MORNING], [0], 0.1)
    generator = np.random.default_rng(2)
    for _ in range(25):
        believed.pass_night(generator)
    assert believed.drawn.level.mean() == pytest.approx(1.0, abs=0.03)
    assert believed.drawn.level.std() == pytest.approx(0.5, rel=0.05)
    assert found.level.tolist() == [1.0] * 5000
    assert believed.quiet_begins()[0] == pytest.approx(0.2)
    assert believed.quiet_ends()[0] == pytest.approx(0.3)
