"""What many households came to, as whole numbers that can be added up in any order."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import TYPE_CHECKING

import numpy as np

from coach.pace.opening import PHASES, STEADY

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from coach.pace.block import Block
    from coach.pace.following import Day
    from coach.pace.rulebook import Rulebook


@dataclass(slots=True)
class Tally:
    """Households counted over D days and S steps.

    Attributes:
        households: How many.
        phases: (D, 5) households in each of `PHASES`, by day.
        minutes: (D,) minutes on all their checklists; a lapsed household has none.
        listed: (D,) lines on them.
        done: (D,) households whose last waiting step settled on a day.
        steady: (D,) households that were steady for the first time on a day.
        lapsed: (D,) households whose first lapse began on a day, as the close of the day before made it.
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
        tally, day, opened, closed = self.tally, now.day, now.opened, now.closed
        phase = opened.phase[self._who]
        tally.phases[day] = np.bincount(phase, minlength=len(PHASES))
        lines = self._lines((block.open | closed.kept | closed.missed) & opened.live)
        tally.minutes[day] = lines @ self._rules.minutes
        tally.listed[day] = lines.sum()
        settles = np.flatnonzero(closed.settled.any(axis=1))
        at_it = opened.active & ~block.settled
        at_it[settles] |= closed.settled[settles]
        tally.practised += self._lines(at_it & opened.live)
        if settles.size or day == 0:
            # Nobody sets a step aside here, so what is left beside the steps to come are those to settle.
            through = block.left == self._rules.size - block.known
            tally.done[day] = self._fresh(self._done, through[self._who])
        tally.steady[day] = self._fresh(self._steady, phase == STEADY)
        if day + 1 < self._days:
            tally.lapsed[day + 1] = self._fresh(self._lapsed, block.lapsed[self._who])
        else:
            self._count_last(block, phase)

    def _lines(self, grid: NDArray[np.bool_]) -> NDArray[np.int64]:
        """(S,) in how many of the households that count each of (S, H) holds."""
        return np.array([np.count_nonzero(row[self._who]) for row in grid], np.int64)

    @staticmethod
    def _fresh(already: NDArray[np.bool_], now: NDArray[np.bool_]) -> int:
        """How many hold for the first time, which are taken down."""
        fresh = int(np.count_nonzero(now & ~already))
        already |= now
        return fresh

    def _count_last(self, block: Block, phase: NDArray[np.int8]) -> None:
        at_it = block.introduced & ~block.settled
        self.tally.came += self._lines(block.introduced)
        self.tally.settled += self._lines(block.settled)
        for place in range(len(PHASES)):
            self.tally.standing[:, place] += self._lines_in(at_it, phase == place)

    def _lines_in(self, grid: NDArray[np.bool_], which: NDArray[np.bool_]) -> NDArray[np.int64]:
        """The same of some of those households."""
        return np.array([np.count_nonzero(row[self._who] & which) for row in grid], np.int64)


def day_by(counted: NDArray[np.int64], households: int, hundredths: int) -> int | None:
    """The first day, from 1, by which so many of a hundred households have been counted; None if none is.

    Args:
        counted: (D,) households counted on each day.
        households: How many there are, counted or not.
        hundredths: From 1 to 100.
    """
    enough = -(-hundredths * households // 100)
    place = int(np.searchsorted(np.cumsum(counted), enough))
    return place + 1 if place < counted.size else None
