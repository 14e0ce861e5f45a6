"""What many households came to, as whole numbers that can be added up in any order."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import TYPE_CHECKING

import numpy as np

from coach.pace.opening import PHASES

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from coach.pace.block import Block
    from coach.pace.following import Day
    from coach.pace.rulebook import Rulebook

MOST_HOUSEHOLDS = 10_000_000
"""So many households can be followed: their minutes of all days fit into 64 bits."""


@dataclass(slots=True)
class Tally:
    """Households counted over D days and S steps.

    Attributes:
        households: How many.
        phases: (D, 5) households in each of `PHASES`, by day.
        minutes: (D,) minutes on all their checklists.
        listed: (D,) lines on all their checklists.
        done: (D,) households whose last waiting step settled on a day.
        steady: (D,) households that were steady for the first time on a day.
        lapsed: (D,) households that lapsed for the first time as a day closed.
        came: (S,) households to which a step has come by the end.
        settled: (S,) households in which it has settled.
        practised: (S,) days on which it was on the list of a household and had not settled.
        standing: (S, 5) households still at it at the end, by the phase of their last day.
    """

    households: int
    phases: NDArray[np.int64]
    minutes: NDArray[np.int64]
    listed: NDArray[np.int64]
    done: NDArray[np.int64]
    steady: NDArray[np.int64]
    lapsed: NDArray[np.int64]
    came: NDArray[np.int64]
    settled: NDArray[np.int64]
    practised: NDArray[np.int64]
    standing: NDArray[np.int64]

    def __add__(self, other: Tally) -> Tally:
        """Both together."""
        return Tally(
            **{part.name: getattr(self, part.name) + getattr(other, part.name) for part in fields(self)}
        )


def nobody(steps: int, days: int) -> Tally:
    """The tally of no household."""
    phases, standing = np.zeros((days, len(PHASES)), np.int64), np.zeros((steps, len(PHASES)), np.int64)
    minutes, listed, done, steady, lapsed = np.zeros((5, days), np.int64)
    came, settled, practised = np.zeros((3, steps), np.int64)
    return Tally(0, phases, minutes, listed, done, steady, lapsed, came, settled, practised, standing)


class Counter:
    """Counts a block of households as it goes from day to day.

    Args:
        rules: Theirs.
        households: How many of the block count; the first ones.
        days: For how many days.
    """

    def __init__(self, rules: Rulebook, households: int, days: int) -> None:
        self.tally = nobody(rules.size, days)
        self.tally.households = households
        self._rules, self._who, self._days = rules, slice(0, households), days
        self._done, self._steady, self._lapsed = np.zeros((3, households), bool)

    def count(self, block: Block, now: Day) -> None:
        """Count a day, with the block as it stands after its close."""
        tally, day, who = self.tally, now.day, self._who
        phase = now.opened.phase[who]
        tally.phases[day] = np.bincount(phase, minlength=len(PHASES))
        checklists = block.open | now.closed.kept | now.closed.missed
        lines = np.count_nonzero(checklists[:, who], axis=1)
        tally.minutes[day] = lines @ self._rules.minutes
        tally.listed[day] = lines.sum()
        practised = (now.opened.active & ~block.settled) | now.closed.settled
        tally.practised += np.count_nonzero((practised & now.opened.live)[:, who], axis=1)
        if now.closed.settled.any() or day == 0:
            tally.done[day] = self._fresh(self._done, block.waiting_left(self._rules)[who] == 0)
        tally.steady[day] = self._fresh(self._steady, phase == PHASES.index("steady"))
        tally.lapsed[day] = self._fresh(self._lapsed, block.lapsed[who])
        if day == self._days - 1:
            self._count_last(block, phase)

    @staticmethod
    def _fresh(already: NDArray[np.bool_], now: NDArray[np.bool_]) -> int:
        """How many hold for the first time, which are taken down."""
        fresh = int(np.count_nonzero(now & ~already))
        already |= now
        return fresh

    def _count_last(self, block: Block, phase: NDArray[np.int8]) -> None:
        came, settled = block.introduced[:, self._who], block.settled[:, self._who]
        self.tally.came += np.count_nonzero(came, axis=1)
        self.tally.settled += np.count_nonzero(settled, axis=1)
        at_it = came & ~settled
        for place in range(len(PHASES)):
            self.tally.standing[:, place] += np.count_nonzero(at_it & (phase == place), axis=1)
