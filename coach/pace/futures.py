"""Futures followed until nothing is left to settle: on which day the last waiting step does in each."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from coach.pace.conduct import marks_of, quiet_today

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from coach.pace.believed import Believed
    from coach.pace.block import Block
    from coach.pace.closing import Closed, Marks
    from coach.pace.following import Follower
    from coach.pace.present import Present

NEVER = int(np.iinfo(np.int64).max)
"""In place of the day of a future whose last waiting step settles on none of the days followed."""
_WORTH_LEAVING = 0.75  # the share still going at which the others are left behind


class Futures:
    """H futures on their way; those that are done are left behind as they grow many.

    Args:
        follower: Who follows them.
        block: Where they stand; it is changed.
        believed: How their days go; it is changed too.
        quiet: (H,) which were quiet the day before.
        generator: Where chance comes from.

    Attributes:
        settled_on: (H,) the place of the day on which the last waiting step settled, or `NEVER`.
    """

    def __init__(
        self,
        follower: Follower,
        block: Block,
        believed: Believed,
        quiet: NDArray[np.bool_],
        generator: np.random.Generator,
    ) -> None:
        self.settled_on = np.full(block.households, NEVER)
        self._follower = follower
        self._block, self._believed, self._quiet = block, believed, quiet
        self._generator = generator
        self._numbers = np.arange(block.households)
        self._left = block.waiting_left(follower.rules)

    def end_today(self, now: Present) -> None:
        """Close the first day, which has opened: what is marked stands, the rest of the list goes by chance.

        Args:
            now: Where the household stands; its block is the one followed.
        """
        drawn, marked = self._drawn(), now.marked
        quiet = quiet_today(self._quiet, self._believed, drawn[-1]) & ~marked.any & now.opened.live
        rest = marks_of(self._block, now.opened, quiet, self._believed.kept(0), drawn[:-1])
        closed = self._follower.closed(self._block, 0, now.opened, _together(marked, rest))
        self._end(0, quiet, closed)

    def follow(self, first: int, paused: Sequence[bool], enough: float = 1.0) -> None:
        """Follow them until a share of them is done, or the days end.

        Args:
            first: The place of the first day to follow.
            paused: For each day whether it is paused.
            enough: The share that is enough.
        """
        for day in range(first, self._follower.reach):
            if np.mean(self.settled_on != NEVER) >= enough:
                return
            away = np.ones(self._block.households, bool) if paused[day] else None
            now = self._follower.day(self._block, day, self._believed, self._drawn(), self._quiet, away)
            self._end(day, now.quiet, now.closed)

    def _drawn(self) -> NDArray[np.float32]:
        return self._generator.random((self._follower.rules.size + 1, self._block.households), np.float32)

    def _end(self, day: int, quiet: NDArray[np.bool_], closed: Closed) -> None:
        self._quiet = quiet
        self._believed.pass_night(self._generator)
        settled = closed.settled[self._follower.rules.waits].sum(axis=0)
        if settled.any():
            self._left -= settled
            self._note(day, (self._left == 0) & (settled > 0))

    def _note(self, day: int, done: NDArray[np.bool_]) -> None:
        """Take down who is done today; leave those who are done behind if that saves more than it costs."""
        self.settled_on[self._numbers[done]] = day
        going = self._left > 0
        if going.mean() <= _WORTH_LEAVING:
            self._block, self._believed = self._block.taken(going), self._believed.taken(going)
            self._quiet, self._numbers, self._left = (
                self._quiet[going],
                self._numbers[going],
                self._left[going],
            )


def _together(marked: Marks, rest: Marks) -> Marks:
    """What was marked, and for lines that nothing was said of the rest."""
    said = marked.kept | marked.missed
    if marked.excused is not None:
        said |= marked.excused
    return replace(
        marked,
        kept=marked.kept | (rest.kept & ~said),
        missed=marked.missed | (rest.missed & ~said),
        any=marked.any | rest.any,
    )
