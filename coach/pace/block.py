"""Where many households stand at once: one array for each thing the rules remember."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from coach.pace.rulebook import Rulebook

NONE_WANTED = -1
NO_CEILING = 1 << 40
WORD = 64
"""How many outcomes one number of the history holds at most."""
SIZES: dict[int, type[np.unsignedinteger]] = {16: np.uint16, 32: np.uint32}


@dataclass(slots=True)
class Block:
    """H households after the close of a day, all under one rulebook of S steps.

    Attributes:
        introduced: (S, H) whether the step has come.
        settled: (S, H).
        aside: (S, H) whether it is set aside; that does not change while they are followed.
        rank: (S, H) 0 for a step that does not rest, else its place among those that come back, from 1.
        open: (S, H) whether an occurrence is open.
        history: (words, S, H) the latest outcomes as bits, the newest lowest in the first word; 1 is kept.
        strength: (S, H) from 0 to 1.
        rows: (S, H) which row of the falls holds for it.
        counted_kept: (over, H) outcomes kept on the counted days, each at its place in turn; no more places
            than days can come.
        counted: (over, H) outcomes in all on them.
        turn: (H,) the place of the next counted day.
        gap: (H,) days since the latest one with a mark.
        empty_run: (H,) empty days in a row.
        lapsed: (H,).
        resting: (H,) how many steps rest.
        known: (H,) how many steps have come and are not set aside.
        left: (H,) what is still to happen before the steady time: steps to come, and waiting ones to settle.
        sum_kept: (H,) outcomes kept on all counted days that count, of `sum_counted`.
        was_paused: (H,) whether the day before was; `was_lapsed`, `had_checklist` likewise.
        day_kept: (H,) outcomes kept on the day before, of `day_outcomes`.
        wanted: (H,) the step wanted next, or `NONE_WANTED`.
        ceiling: (H,) most minutes a day for waiting steps, or `NO_CEILING`.
    """

    introduced: NDArray[np.bool_]
    settled: NDArray[np.bool_]
    aside: NDArray[np.bool_]
    rank: NDArray[np.int16]
    open: NDArray[np.bool_]
    history: NDArray[np.unsignedinteger]
    strength: NDArray[np.float64]
    rows: NDArray[np.int32]
    counted_kept: NDArray[np.int32]
    counted: NDArray[np.int32]
    turn: NDArray[np.int64]
    gap: NDArray[np.int64]
    empty_run: NDArray[np.int64]
    lapsed: NDArray[np.bool_]
    resting: NDArray[np.int16]
    known: NDArray[np.int16]
    left: NDArray[np.int16]
    sum_kept: NDArray[np.int32]
    sum_counted: NDArray[np.int32]
    was_paused: NDArray[np.bool_]
    was_lapsed: NDArray[np.bool_]
    had_checklist: NDArray[np.bool_]
    day_kept: NDArray[np.int32]
    day_outcomes: NDArray[np.int32]
    wanted: NDArray[np.int64]
    ceiling: NDArray[np.int64]

    @property
    def households(self) -> int:
        """How many there are."""
        return int(self.lapsed.size)

    def taken(self, which: NDArray[np.bool_] | NDArray[np.int64]) -> Block:
        """Some of the households, or some of them several times, as a block of its own.

        Args:
            which: (H,) whether to take each, or their numbers.
        """
        return Block(
            **{part.name: np.ascontiguousarray(getattr(self, part.name)[..., which]) for part in fields(self)}
        )

    def waiting_left(self, rules: Rulebook) -> NDArray[np.int64]:
        """(H,) how many waiting steps have still to settle."""
        missing: NDArray[np.int64] = (~self.aside & rules.waits[:, None] & ~self.settled).sum(axis=0)
        return missing

    def set_aside(self, rules: Rulebook, aside: NDArray[np.bool_]) -> None:
        """Set steps aside, (S, H) of them, that have not come, or do not rest and have nothing open."""
        fresh = aside & ~self.aside
        self.aside |= aside
        to_settle = rules.waits[:, None] & ~self.settled
        self.left -= (fresh & ~self.introduced).sum(axis=0, dtype=np.int16)
        self.left -= (fresh & to_settle).sum(axis=0, dtype=np.int16)
        self.known -= (fresh & self.introduced).sum(axis=0, dtype=np.int16)


def history_form(rules: Rulebook) -> tuple[int, type[np.unsignedinteger]]:
    """How many numbers hold a step's latest outcomes, and of what size they are."""
    most = int(rules.of.max(initial=1))
    for bits, size in SIZES.items():
        if most <= bits:
            return 1, size
    return -(-most // WORD), np.uint64


def fresh(rules: Rulebook, households: int, days: int) -> Block:
    """Households that begin today, to be followed for so many days: nothing has come yet."""
    steps, words = rules.size, history_form(rules)
    each, cell, window = households, (rules.size, households), min(rules.over, days)
    return Block(
        introduced=np.zeros(cell, bool),
        settled=np.zeros(cell, bool),
        aside=np.zeros(cell, bool),
        rank=np.zeros(cell, np.int16),
        open=np.zeros(cell, bool),
        history=np.zeros((words[0], steps, each), words[1]),
        strength=np.zeros(cell),
        rows=np.zeros(cell, np.int32),
        counted_kept=np.zeros((window, each), np.int32),
        counted=np.zeros((window, each), np.int32),
        turn=np.zeros(each, np.int64),
        gap=np.zeros(each, np.int64),
        empty_run=np.zeros(each, np.int64),
        lapsed=np.zeros(each, bool),
        resting=np.zeros(each, np.int16),
        known=np.zeros(each, np.int16),
        left=np.full(each, steps + int(rules.waits.sum()), np.int16),
        sum_kept=np.zeros(each, np.int32),
        sum_counted=np.zeros(each, np.int32),
        was_paused=np.zeros(each, bool),
        was_lapsed=np.zeros(each, bool),
        had_checklist=np.zeros(each, bool),
        day_kept=np.zeros(each, np.int32),
        day_outcomes=np.zeros(each, np.int32),
        wanted=np.full(each, NONE_WANTED, np.int64),
        ceiling=np.full(each, NO_CEILING, np.int64),
    )
