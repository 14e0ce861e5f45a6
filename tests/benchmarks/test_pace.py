"""What it costs to follow a lot of households, beside the drawing of the numbers it needs."""

from __future__ import annotations

from dataclasses import replace
from time import perf_counter
from typing import TYPE_CHECKING

import numpy as np

from coach.coaching.library import find_course
from coach.pace.lots import Simulation, begun, follow_lots
from coach.pace.sizes import LOT

if TYPE_CHECKING:
    from collections.abc import Callable

STEPS, DAYS, ROUNDS = 12, 120, 7
MOST_TIMES = 15
"""Contract (pace.md): the simulation within 15 times the drawing of its numbers, in one run."""


def best_of(rounds: int, work: Callable[[], object]) -> float:
    """Seconds of the quickest round."""
    found = []
    for _ in range(rounds):
        began = perf_counter()
        work()
        found.append(perf_counter() - began)
    return min(found)


def draw() -> None:
    """Draw what a lot of so many steps needs: one number for each line and one for quiet times, each day."""
    generator = np.random.Generator(np.random.SFC64(7))
    drawn = np.empty((STEPS + 1, LOT), np.float32)
    for _ in range(DAYS):
        generator.random(dtype=np.float32, out=drawn)


def test_a_simulation_costs_little_beside_the_drawing_of_its_numbers() -> None:
    shipped = find_course("three-weeks")
    course = replace(shipped, steps=shipped.steps[:STEPS])
    rules, first = begun(course, "standard")
    assert rules.size == STEPS
    asked = Simulation(rules, first, LOT, DAYS, 7, 0.7, 0.95, begins=0.02, ends=0.05)
    drawing, simulating = best_of(ROUNDS, draw), best_of(ROUNDS, lambda: follow_lots(asked, [0]))
    print(f"{LOT} households, {DAYS} days, {STEPS} steps: drawing {1000 * drawing:.0f} ms")
    print(f"simulation {1000 * simulating:.0f} ms, {simulating / drawing:.1f} times")
    assert simulating <= MOST_TIMES * drawing
