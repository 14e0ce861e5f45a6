"""Households simulated in lots, each drawing numbers of its own, so that lots can be followed anywhere."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from coach.pace.block import fresh
from coach.pace.conduct import Same
from coach.pace.falls import days_from
from coach.pace.following import Follower
from coach.pace.rulebook import rulebook_at
from coach.pace.sizes import LOT
from coach.pace.tally import Counter
from coach.progress.paces import checked_pace
from coach.progress.ramp import A_MONDAY

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import date

    from coach.course.model import Course
    from coach.pace.rulebook import Rulebook
    from coach.pace.tally import Tally


@dataclass(frozen=True, slots=True)
class Simulation:
    """What is simulated: numbers and short words alone, so that little is sent to other processes.

    Attributes:
        rules: The rules, at the pace that is simulated.
        first: The step begun with.
        households: How many.
        days: For how many days, the first included.
        seed: Of all numbers drawn.
        lowest: Chance of keeping a due day of who keeps least; households lie evenly from it to `highest`.
        highest: That of the one that keeps most.
        begins: The chance, each day, that a household which marks falls quiet.
        ends: The chance, each day, that one which is quiet marks again.
        start: The date of the first day.
    """

    rules: Rulebook
    first: int
    households: int
    days: int
    seed: int
    lowest: float
    highest: float
    begins: float = 0.0
    ends: float = 0.0
    start: date = A_MONDAY

    @property
    def lots(self) -> int:
        """How many lots it has."""
        return -(-self.households // LOT)


def begun(course: Course, pace: str) -> tuple[Rulebook, int]:
    """The rules of a course at a pace, and the place of its first root, which households begin with.

    Raises:
        Malformed: The course has no such pace.
    """
    first = next(number for number, step in enumerate(course.steps) if step.is_root)
    return rulebook_at(course, checked_pace(pace, course.paces)), first


def follow_lots(simulation: Simulation, lots: Iterable[int]) -> Tally:
    """What the households of some lots came to.

    A lot draws the same numbers whichever others are followed, in whatever order and wherever; the last one
    draws for all its places and counts those that are asked for. So a household goes the same way in a larger
    simulation of the same seed, and on the same days in a longer one.
    """
    days = days_from(simulation.start, simulation.days)
    follower = Follower(simulation.rules, days, simulation.first)
    tallies = (_followed(simulation, follower, lot) for lot in lots)
    total = next(tallies)
    for tally in tallies:
        total += tally
    return total


def _followed(simulation: Simulation, follower: Follower, lot: int) -> Tally:
    counted = min(LOT, simulation.households - lot * LOT)
    counter = Counter(follower.rules, counted, simulation.days)
    block = fresh(follower.rules, LOT, simulation.days)
    for_days, for_households = np.random.SeedSequence(simulation.seed, spawn_key=(lot,)).spawn(2)
    where = np.random.Generator(np.random.SFC64(for_households)).random(LOT)
    adherence = simulation.lowest + where * (simulation.highest - simulation.lowest)
    chances = Same(adherence.astype(np.float32), simulation.begins, simulation.ends)
    generator = np.random.Generator(np.random.SFC64(for_days))
    for now in follower.follow(block, chances, generator):
        counter.count(block, now)
    return counter.tally
