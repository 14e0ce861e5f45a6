"""Futures followed until nothing is left to settle: on which day the last waiting step does in each."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from coach.pace.among import some
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


@dataclass(slots=True)
class _Going:
    """Those of the futures that are still looked at.

    Attributes:
        block: Where they stand.
        believed: How their days go.
        quiet: (H,) which were quiet the day before.
        numbers: (H,) their numbers among all.
        left: (H,) how many waiting steps have still to settle.
    """

    block: Block
    believed: Believed
    quiet: NDArray[np.bool_]
    numbers: NDArray[np.int64]
    left: NDArray[np.int64]

    def taken(self, which: NDArray[np.bool_]) -> _Going:
        """Some of them."""
        return _Going(
            self.block.taken(which),
            self.believed.taken(which),
            self.quiet[which],
            self.numbers[which],
            self.left[which],
        )


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
        self._follower, self._generator = follower, generator
        numbers, left = np.arange(block.households), block.waiting_left(follower.rules)
        self._going = _Going(block, believed, quiet, numbers, left)

    def done_before(self, day: int) -> int:
        """How many are done before the day of that place."""
        return int(np.count_nonzero(self.settled_on < day))

    def end_today(self, now: Present) -> None:
        """Close the first day, which has opened: what is marked stands, the rest of the list goes by chance.

        Args:
            now: Where the household stands; its block is the one followed.
        """
        going, drawn, marked = self._going, self._drawn(), now.marked
        quiet = quiet_today(going.quiet, going.believed, drawn[-1]) & ~marked.any & now.opened.live
        rest = marks_of(going.block, now.opened, quiet, going.believed.kept(0), drawn[:-1])
        closed = self._follower.closed(going.block, 0, now.opened, _together(marked, rest))
        self._end(0, quiet, closed)

    def follow(self, first: int, paused: Sequence[bool], until: int, enough: float = 1.0) -> int:
        """Follow them day by day until a share of all is done.

        Args:
            first: The place of the first day to follow.
            paused: For each day whether it is paused.
            until: The place of the first day not to follow.
            enough: The share that is enough.

        Returns:
            The place of the day to go on with.
        """
        for day in range(first, until):
            going = self._going
            if self.done_before(day) >= enough * self.settled_on.size:
                return day
            away = np.ones(going.block.households, bool) if paused[day] else None
            now = self._follower.day(going.block, day, going.believed, self._drawn(), going.quiet, away)
            self._end(day, now.quiet, now.closed)
        return until

    def _drawn(self) -> NDArray[np.float32]:
        """(S + 1, H) uniform numbers, in steps of a 65,536th: four out of each that the generator makes."""
        shape = self._follower.rules.size + 1, self._going.block.households
        many = shape[0] * shape[1]
        words = self._generator.bit_generator.random_raw(-(-many // 4)).view(np.uint16)
        drawn: NDArray[np.float32] = np.multiply(words[:many].reshape(shape), np.float32(2**-16))
        return drawn

    def _end(self, day: int, quiet: NDArray[np.bool_], closed: Closed) -> None:
        going = self._going
        going.quiet = quiet
        going.believed.pass_night(self._generator.bit_generator)
        if some(closed.settled):
            settled = closed.settled[self._follower.rules.waits].sum(axis=0)
            going.left -= settled
            self._note(day, (going.left == 0) & (settled > 0))

    def _note(self, day: int, done: NDArray[np.bool_]) -> None:
        """Take down who is done today; leave those who are done behind if that saves more than it costs."""
        going = self._going
        self.settled_on[going.numbers[done]] = day
        still = going.left > 0
        if np.count_nonzero(still) <= _WORTH_LEAVING * still.size:
            self._going = going.taken(still)


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
