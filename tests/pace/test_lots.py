"""Households in lots: the same numbers whatever is followed beside them, where, and for how long."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import TYPE_CHECKING

import numpy as np
import pytest

from coach.coaching.library import find_course
from coach.course.model import Course, Hold, Lesson, Step
from coach.pace.lots import Simulation, begun, follow_lots
from coach.pace.opening import LAPSED, PHASES, STEADY
from coach.pace.sizes import LOT
from coach.pace.spreading import shares, simulated
from coach.pace.tally import day_by, nobody

if TYPE_CHECKING:
    from coach.pace.tally import Tally

COURSE = find_course("three-weeks")
RULES, FIRST = begun(COURSE, "standard")
THREE = Simulation(RULES, FIRST, 2 * LOT + 1234, 30, 7, 0.7, 0.95, 0.03, 0.1)


def told(tally: Tally) -> dict[str, object]:
    return {part.name: np.asarray(getattr(tally, part.name)).tolist() for part in fields(tally)}


@pytest.fixture(scope="module")
def in_one_go() -> dict[str, object]:
    return told(follow_lots(THREE, range(THREE.lots)))


@pytest.mark.parametrize("block", [1, LOT, 2 * LOT, 3 * LOT - 1, 10 * LOT])
def test_the_size_of_a_block_changes_nothing(block: int, in_one_go: dict[str, object]) -> None:
    assert told(simulated(THREE, block)) == in_one_go


@pytest.mark.parametrize("processes", [2, 3])
def test_the_number_of_processes_changes_nothing(processes: int, in_one_go: dict[str, object]) -> None:
    assert told(simulated(THREE, LOT, processes)) == in_one_go


def test_lots_can_be_followed_in_any_order(in_one_go: dict[str, object]) -> None:
    assert told(follow_lots(THREE, [2]) + follow_lots(THREE, [0]) + follow_lots(THREE, [1])) == in_one_go


def test_the_days_of_a_shorter_simulation_are_the_first_ones_of_a_longer_one() -> None:
    one = replace(THREE, households=500)
    short, long = (follow_lots(replace(one, days=days), [0]) for days in (12, 30))
    for name in ("phases", "minutes", "listed", "done", "steady", "lapsed"):
        assert getattr(short, name).tolist() == getattr(long, name)[:12].tolist()


def test_households_go_the_same_way_however_many_follow_them() -> None:
    """One more household changes each count by none or one, and adds to whole ones its own alone."""
    few, more, lot = (follow_lots(replace(THREE, households=many), [0]) for many in (LOT - 1, LOT, LOT + 1))
    one = (more.phases - few.phases).tolist()
    assert all(sorted(day) == [0, 0, 0, 0, 1] for day in one)
    assert told(lot) == told(more)


def test_another_seed_and_another_lot_draw_other_numbers() -> None:
    whole = replace(THREE, households=2 * LOT)
    found = [
        follow_lots(whole, [0]),
        follow_lots(whole, [1]),
        follow_lots(replace(whole, seed=8), [0]),
    ]
    assert len({str(tally.minutes.tolist()) for tally in found}) == 3


def test_every_household_is_in_one_phase_every_day() -> None:
    tally = follow_lots(THREE, range(THREE.lots))
    assert tally.phases.sum(axis=1).tolist() == [THREE.households] * THREE.days
    assert tally.standing.sum(axis=1).tolist() == (tally.came - tally.settled).tolist()


def test_blocks_hold_every_lot_once() -> None:
    for block in (1, LOT, 2 * LOT, 5 * LOT):
        assert [lot for lots in shares(THREE, block) for lot in lots] == [0, 1, 2]


def test_adherence_lies_evenly_in_the_spread() -> None:
    """Where one kept outcome settles a step, the first day settles it in as many as keep, on average."""
    easy = replace(RULES, kept=np.ones_like(RULES.kept))
    tally = follow_lots(replace(THREE, rules=easy, households=LOT, begins=0.0, days=1), [0])
    assert tally.settled[FIRST] / LOT == pytest.approx(0.825, abs=4 * (0.825 * 0.175 / LOT) ** 0.5)


def test_a_lapsed_household_has_no_line_on_its_list() -> None:
    """All stay away; a weekly line that opened on the second Monday is open still as they lapse."""
    steps = (
        Step("daily", "Daily", minutes=3, lessons=(Lesson("One", "Text."),)),
        Step("weekly", "Weekly", minutes=20, repeats="FREQ=WEEKLY;BYDAY=MO", waits=False),
    )
    course = Course("Away", steps, lapse_after=10, hold=Hold(0.0, 7))
    rules, first = begun(course, "standard")
    tally = follow_lots(Simulation(rules, first, 10, 14, 1, 1.0, 1.0, begins=1.0), [0])
    assert tally.minutes.tolist() == [30] * 7 + [230] * 3 + [0] * 4
    assert tally.phases[10:, LAPSED].tolist() == [10] * 4


def test_a_lapse_is_told_of_the_first_day_that_is_one() -> None:
    """Nobody comes back here, so that those who have lapsed by a day are those who are lapsed on it."""
    tally = follow_lots(replace(THREE, households=500, begins=0.2, ends=0.0, days=40), [0])
    assert tally.lapsed.cumsum().tolist() == tally.phases[:, LAPSED].tolist()
    assert tally.phases[-1, LAPSED] > 400


def test_a_quantile_is_the_first_day_by_which_so_many_have_been_counted() -> None:
    counted = np.array([0, 1, 0, 4, 4, 0])
    assert [day_by(counted, 10, share) for share in (1, 10, 11, 50, 51, 90, 91)] == [2, 2, 4, 4, 5, 5, None]
    assert day_by(np.zeros(3, np.int64), 1, 10) is None


def test_nobody_adds_nothing() -> None:
    tally = follow_lots(replace(THREE, households=5), [0])
    assert told(nobody(RULES.size, THREE.days) + tally) == told(tally)


def test_a_steady_day_comes_after_the_last_waiting_step_has_settled() -> None:
    tally = follow_lots(replace(THREE, lowest=1.0, highest=1.0, begins=0.0, households=3), [0])
    assert np.flatnonzero(tally.done).tolist() == [20]
    assert np.flatnonzero(tally.steady).tolist() == [21]
    assert tally.phases[21:, STEADY].tolist() == [3] * 9
    assert len(PHASES) == tally.phases.shape[1]
