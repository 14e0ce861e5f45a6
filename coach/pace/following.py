"""Many households followed day by day at once: the rules of progression over whole arrays.

The same rules as `coach/progress`, which follows one household; their agreement on every day is a test
(`tests/property/test_pace_agrees.py`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from coach.pace.closing import Closer
from coach.pace.conduct import marks_of, quiet_today
from coach.pace.falls import Falls
from coach.pace.opening import Opener

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from datetime import date

    from numpy.typing import NDArray

    from coach.pace.block import Block
    from coach.pace.closing import Closed, Marks
    from coach.pace.conduct import Chances
    from coach.pace.opening import Opened
    from coach.pace.rulebook import Rulebook


@dataclass(frozen=True, slots=True)
class Day:
    """One day of H households, as it has closed.

    Attributes:
        day: Its place, from 0.
        opened: How it opened.
        quiet: (H,) who marked nothing of their own will.
        marks: What was marked.
        closed: How it closed.
    """

    day: int
    opened: Opened
    quiet: NDArray[np.bool_]
    marks: Marks
    closed: Closed


class Follower:
    """Follows blocks of households through the same days.

    Args:
        rules: Theirs.
        days: The household days in order, one more than can be followed, for the last one's tomorrow.
        first: The step begun with on the first day, or None where they have begun before.
        falls: The days on which steps fall, where they have been worked out before.
    """

    def __init__(
        self, rules: Rulebook, days: Sequence[date], first: int | None = 0, falls: Falls | None = None
    ) -> None:
        self.rules = rules
        self.falls = falls or Falls(rules.repeats, days)
        self.reach = len(days) - 1
        self._opener = Opener(rules, self.falls, first)
        self._closer = Closer(rules)

    def day(
        self,
        block: Block,
        day: int,
        chances: Chances,
        drawn: NDArray[np.float32],
        quiet: NDArray[np.bool_],
        paused: NDArray[np.bool_] | None = None,
    ) -> Day:
        """Follow one day.

        Args:
            block: As it stands after the close of the day before; it goes on to stand after this one's.
            day: The day's place, below `reach`.
            chances: How the households' days go.
            drawn: (S + 1, H) uniform numbers from 0 to 1: for each line, and for the quiet times.
            quiet: (H,) who was quiet the day before.
            paused: (H,) who is paused today, or None if nobody is.
        """
        quiet = quiet_today(quiet, chances, drawn[-1])
        if paused is not None:
            quiet &= ~paused
        opened = self.opened(block, day, paused, ~quiet)
        marks = marks_of(block, opened, quiet, chances.kept(day), drawn[:-1])
        return Day(day, opened, quiet, marks, self.closed(block, day, opened, marks))

    def opened(
        self, block: Block, day: int, paused: NDArray[np.bool_] | None, resumed: NDArray[np.bool_]
    ) -> Opened:
        """Open a day; `resumed` says which lapsed households come back on it."""
        return self._opener.open(block, day, paused, resumed)

    def closed(self, block: Block, day: int, opened: Opened, marks: Marks) -> Closed:
        """Close a day that was opened."""
        falls_tomorrow = self.falls.on(day + 1, block.rows, np.empty_like(block.open))
        return self._closer.close(block, opened, marks, falls_tomorrow)

    def follow(
        self,
        block: Block,
        chances: Chances,
        generator: np.random.Generator,
        paused: NDArray[np.bool_] | None = None,
    ) -> Iterator[Day]:
        """Follow households as far as the days reach; a fresh block from its first day on.

        Args:
            block: Changed from day to day: what is looked at of it is taken before the next day.
            chances: How their days go.
            generator: Where the numbers are drawn from: S + 1 for each household and day.
            paused: (days, H) who is paused when, or None if nobody ever is.
        """
        drawn = np.empty((self.rules.size + 1, block.households), np.float32)
        quiet = np.zeros(block.households, bool)
        for day in range(self.reach):
            generator.random(dtype=np.float32, out=drawn)
            now = self.day(block, day, chances, drawn, quiet, None if paused is None else paused[day])
            quiet = now.quiet
            yield now
