"""The opening of a day for many households at once: the rules §5.1 to §5.7 over arrays."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from coach.pace.among import every, lines, some
from coach.pace.block import NO_CEILING, NONE_WANTED
from coach.pace.rulebook import NOBODY
from coach.progress.returning import DECIMALS

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from coach.pace.block import Block
    from coach.pace.falls import Falls
    from coach.pace.rulebook import Rulebook

PHASES = ("ramping", "steady", "paused", "lapsed", "rebuilding")
RAMPING, STEADY, PAUSED, LAPSED, REBUILDING = range(len(PHASES))
NOT_ONE = -1
_UNITS = 10**DECIMALS
_NEAR_A_HALF = 1e-5


@dataclass(frozen=True, slots=True)
class Opened:
    """How a day opened for H households and S steps.

    Attributes:
        live: (H,) neither paused nor lapsed.
        lapsed: (H,) whether the day is a lapsed one.
        returned: (H,) whether it is a return day.
        introduced: (H,) the step that came by its turn, or `NOT_ONE`.
        falls: (S, H) which steps fall today, of those that have come.
        active: (S, H) introduced, not resting, not set aside.
        fell: (H,) whether some occurrence opened today.
        listed: (H,) whether the checklist has a line.
        phase: (H,) places in `PHASES`.
    """

    live: NDArray[np.bool_]
    lapsed: NDArray[np.bool_]
    returned: NDArray[np.bool_]
    introduced: NDArray[np.int64]
    falls: NDArray[np.bool_]
    active: NDArray[np.bool_]
    fell: NDArray[np.bool_]
    listed: NDArray[np.bool_]
    phase: NDArray[np.int8]


class Opener:
    """Opens days for blocks under one rulebook.

    Args:
        rules: The rules.
        falls: The days on which steps fall, from the first day followed on.
        first: The step begun with on the first day, or None where the block has begun before.
    """

    def __init__(self, rules: Rulebook, falls: Falls, first: int | None) -> None:
        self._rules = rules
        self._falls = falls
        self._first = first
        self._halving = np.ones(0)
        self._waits = rules.waits[:, None]
        self._possible = np.array([_is_possible(rules, step) for step in range(rules.size)])[:, None]
        self._after_all = _in_turns(rules.after)
        self._after_any = [
            (step, [other for other in others if other != NOBODY])
            for step, others in enumerate(rules.after_any)
            if others
        ]

    def open(
        self, block: Block, day: int, paused: NDArray[np.bool_] | None, resumed: NDArray[np.bool_]
    ) -> Opened:
        """Open a day.

        Args:
            block: As it stands after the close of the day before; it goes on to stand as this one has opened.
            day: The day's place.
            paused: (H,) whether the day is a paused one, or None if it is for nobody.
            resumed: (H,) whether a lapsed household comes back today.
        """
        begins = day == 0 and self._first is not None
        live, lapsed, returned = _parted(block, self._rules, paused, resumed, begins=begins)
        came = np.full(block.households, NOT_ONE, np.int64)
        if begins:
            everybody = np.arange(block.households)
            self._bring(block, day, np.full_like(everybody, self._first or 0), everybody, came)
        else:
            resting = block.resting > 0
            usual = live & ~resting
            if some(returned):
                usual &= ~returned
                self._come_back(block, np.flatnonzero(returned))
            if some(resting):
                _wake(block, self._rules, np.flatnonzero(live & resting & ~returned))
            self._introduce(block, day, usual, came)
        return self._listed(block, day, live, lapsed, returned, came)

    def _listed(
        self,
        block: Block,
        day: int,
        live: NDArray[np.bool_],
        lapsed: NDArray[np.bool_],
        returned: NDArray[np.bool_],
        came: NDArray[np.int64],
    ) -> Opened:
        """What is due, and the phase."""
        falls = self._falls.on(day, block.rows, np.empty_like(block.open))
        falls &= block.introduced
        active = block.introduced & ~block.aside
        resting = block.resting > 0
        rests = some(resting)
        if rests:
            active &= block.rank == 0
        due = falls & active
        all_live = every(live)
        if not all_live:
            due &= live
        block.open |= due
        phase: NDArray[np.int8] = (block.left == 0).view(np.int8)  # RAMPING is 0, STEADY is 1
        if rests:
            np.copyto(phase, REBUILDING, where=resting)
        if not all_live:
            np.copyto(phase, PAUSED, where=~live)
            np.copyto(phase, LAPSED, where=lapsed)
        return Opened(
            live=live,
            lapsed=lapsed,
            returned=returned,
            introduced=came,
            falls=falls,
            active=active,
            fell=np.bitwise_or.reduce(due, axis=0),
            listed=np.bitwise_or.reduce(block.open, axis=0),
            phase=phase,
        )

    def _bring(
        self,
        block: Block,
        day: int,
        steps: NDArray[np.int64],
        who: NDArray[np.int64],
        came: NDArray[np.int64],
    ) -> None:
        """Introduce a step to each of some households, by their numbers."""
        block.introduced[steps, who] = True
        block.known[who] += 1
        block.left[who] -= 1
        came[who] = steps
        for step in self._falls.counting:
            those = who[steps == step]
            if those.size:
                block.rows[step, those] = self._falls.row_of_day(step, day)

    def _halved(self, gaps: NDArray[np.int64]) -> NDArray[np.float64]:
        """What is left of a list after so many days away."""
        longest = int(gaps.max())
        if self._halving.size <= longest:
            half_life = self._rules.half_life
            self._halving = np.array([math.pow(2.0, -gap / half_life) for gap in range(2 * longest + 1)])
        return self._halving[gaps]

    def _come_back(self, block: Block, who: NDArray[np.int64]) -> None:
        """Bring the strongest steps straight back and let the others rest (rules §5.3)."""
        known = block.introduced[:, who] & ~block.aside[:, who]
        count = block.known[who]
        usual = np.floor(count * self._halved(block.gap[who]) + 0.5).astype(np.int64)
        back = np.minimum(count, np.maximum(usual, 1))
        units = np.where(known, -rounded(block.strength[:, who]), 1)
        place = np.argsort(np.argsort(units, axis=0, kind="stable"), axis=0)
        resting = place + 1 - back
        block.rank[:, who] = np.where(known & (resting > 0), resting, 0)
        block.resting[who] = count - back
        block.open[:, who] = False
        forgotten = who[block.lapsed[who]]
        block.counted[:, forgotten] = 0
        block.counted_kept[:, forgotten] = 0
        block.sum_counted[forgotten] = 0
        block.sum_kept[forgotten] = 0
        block.lapsed[who] = False
        block.empty_run[who] = 0

    def _introduce(self, block: Block, day: int, who: NDArray[np.bool_], came: NDArray[np.int64]) -> None:
        """At most one step comes: the wanted one if it may, else the first in course order (rules §5.5)."""
        rules = self._rules
        who = who & ~is_held(block, rules)
        may = ~(block.introduced | block.aside)
        may &= self._possible
        may &= who
        if not some(may):
            return
        self._cleared_before(may, block)
        active = block.introduced & ~block.aside
        practised = active & ~block.settled
        practised &= self._waits
        no_room = lines(practised) >= rules.at_once
        may &= ~(self._waits & no_room)
        minutes = _minutes(block, rules, active)
        if minutes is not None:
            may &= ~(self._waits & (rules.minutes[:, None] + minutes > block.ceiling))
        those = np.flatnonzero(np.bitwise_or.reduce(may, axis=0))
        if not those.size:
            return
        may, wanted = may[:, those], block.wanted[those]
        chosen = may.argmax(axis=0)
        wanted = np.where((wanted != NONE_WANTED) & may[wanted, np.arange(those.size)], wanted, chosen)
        self._bring(block, day, wanted, those, came)

    def _cleared_before(self, may: NDArray[np.bool_], block: Block) -> None:
        """Leave of (S, H) steps that may come those whose steps before them are cleared (rules §5.5)."""
        cleared = block.settled | block.aside
        for steps, others in self._after_all:
            may[steps] &= cleared[others]
        for step, others in self._after_any:
            may[step] &= np.bitwise_or.reduce(cleared[others], axis=0)


def _is_possible(rules: Rulebook, step: int) -> bool:
    """Whether all that a step waits for is there; of those of which one is enough, one."""
    some_of = rules.after_any[step]
    return NOBODY not in rules.after[step] and (not some_of or set(some_of) != {NOBODY})


def _in_turns(after: Sequence[Sequence[int]]) -> list[tuple[list[int], list[int]]]:
    """For the first step before each step that has one, then for the second: the steps, and those before."""
    longest = max(map(len, after), default=0)
    return [
        (
            [step for step, others in enumerate(after) if len(others) > turn],
            [others[turn] for others in after if len(others) > turn],
        )
        for turn in range(longest)
    ]


def _parted(
    block: Block,
    rules: Rulebook,
    paused: NDArray[np.bool_] | None,
    resumed: NDArray[np.bool_],
    *,
    begins: bool,
) -> tuple[NDArray[np.bool_], NDArray[np.bool_], NDArray[np.bool_]]:
    """Which households have a day of their own, are lapsed today, return today (rules §5.2, §5.3)."""
    if begins:
        nobody = np.zeros(block.households, bool)
        return ~nobody, nobody, nobody
    live = np.ones(block.households, bool)
    if paused is not None and some(paused):
        live &= ~paused
        block.open[:, paused] = False
        block.lapsed[paused] = False
    lapsed = block.lapsed & ~resumed
    returned = block.lapsed & resumed
    if some(block.was_paused):
        returned |= live & ~block.lapsed & block.was_paused & (block.gap >= rules.lapse_after)
    return live & ~lapsed, lapsed, returned


def _wake(block: Block, rules: Rulebook, who: NDArray[np.int64]) -> None:
    """After a good day the first of the resting steps comes back (rules §5.4); `who` are numbers."""
    if not who.size:
        return
    outcomes = block.day_outcomes[who]
    least = rules.least_kept(rules.good_day, int(outcomes.max()))[outcomes]
    good = ~block.had_checklist[who] | ((outcomes > 0) & (block.day_kept[who] >= least))
    waking = who[good & ~block.was_paused[who] & ~block.was_lapsed[who]]
    ranks = block.rank[:, waking]
    block.rank[:, waking] = ranks - (ranks > 0)
    block.resting[waking] -= 1


def is_held(block: Block, rules: Rulebook) -> NDArray[np.bool_]:
    """(H,) whether too little was kept lately for anything new; of households where no step rests."""
    outcomes = block.sum_counted
    least = rules.least_kept(rules.hold, int(outcomes.max(initial=0)))[outcomes]
    held: NDArray[np.bool_] = block.sum_kept < least
    held &= block.known > 0
    return held


def _minutes(block: Block, rules: Rulebook, active: NDArray[np.bool_]) -> NDArray[np.int64] | None:
    """(H,) minutes a day of all active waiting steps; None where nobody has a ceiling."""
    if block.ceiling.min(initial=NO_CEILING) == NO_CEILING:
        return None
    waiting = active & rules.waits[:, None]
    minutes: NDArray[np.int64] = np.add.reduce(rules.minutes[:, None] * waiting, axis=0)
    return minutes


def rounded(strength: NDArray[np.float64]) -> NDArray[np.int64]:
    """Strengths in units of the last of their 9 decimals, rounded as Python's `round` does."""
    exact = strength * _UNITS
    units: NDArray[np.int64] = np.rint(exact).astype(np.int64)
    near = np.abs(np.abs(exact - np.floor(exact)) - 0.5) < _NEAR_A_HALF
    for place in zip(*np.nonzero(near), strict=True):
        units[place] = round(round(float(strength[place]), DECIMALS) * _UNITS)
    return units
