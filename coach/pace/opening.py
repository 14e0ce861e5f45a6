"""The opening of a day for many households at once: the rules §5.1 to §5.7 over arrays."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from coach.pace.block import NO_CEILING, NONE_WANTED
from coach.pace.rulebook import NOBODY
from coach.progress.returning import DECIMALS

if TYPE_CHECKING:
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
            self._bring(block, day, self._first or 0, np.ones(block.households, bool), came)
        else:
            resting = block.resting > 0
            usual = live & ~resting
            if returned.any():
                usual &= ~returned
                self._come_back(block, np.flatnonzero(returned))
            if resting.any():
                _wake(block, self._rules, live & resting & ~returned)
            self._introduce(block, day, usual, came)
        brought = came != NOT_ONE
        block.known += brought
        block.left -= brought
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
        if resting.any():
            active &= block.rank == 0
        due = falls & active
        if not live.all():
            due &= live
        block.open |= due
        phase: NDArray[np.int8] = (block.left == 0).view(np.int8)  # RAMPING is 0, STEADY is 1
        np.copyto(phase, REBUILDING, where=resting)
        if not live.all():
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
        self, block: Block, day: int, step: int, who: NDArray[np.bool_], came: NDArray[np.int64]
    ) -> None:
        """Introduce a step to some households."""
        block.introduced[step] |= who
        np.copyto(came, step, where=who)
        if step in self._falls.counting:
            block.rows[step][who] = self._falls.row_of_day(step, day)

    def _halved(self, gaps: NDArray[np.int64]) -> NDArray[np.float64]:
        """What is left of a list after so many days away."""
        longest = int(gaps.max())
        if self._halving.size <= longest:
            half_life = self._rules.half_life
            self._halving = np.array([math.pow(2.0, -gap / half_life) for gap in range(2 * longest + 1)])
        return self._halving[gaps]

    def _come_back(self, block: Block, who: NDArray[np.int64]) -> None:
        """Bring the strongest steps straight back and let the others rest (rules §5.3)."""
        known = (block.introduced & ~block.aside)[:, who]
        count = block.known[who]
        usual = np.floor(count * self._halved(block.gap[who]) + 0.5).astype(np.int64)
        back = np.minimum(count, np.maximum(usual, 1))
        units = np.where(known, -rounded(block.strength[:, who]), 1)
        order = np.argsort(units, axis=0, kind="stable")
        place = np.empty_like(order)
        np.put_along_axis(place, order, np.arange(order.shape[0])[:, None], axis=0)
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
        ahead = ~(block.introduced | block.aside)
        ahead &= who & ~is_held(block, self._rules)
        steps = np.flatnonzero(ahead.any(axis=1)).tolist()
        if not steps:
            return
        rules, cleared = self._rules, block.settled | block.aside
        active = block.introduced & ~block.aside
        practised = active & ~block.settled & rules.waits[:, None]
        has_room = _lines(practised) < rules.at_once
        minutes = _minutes(block, rules, active)
        may = {step: self._may(step, ahead[step], cleared, has_room, block, minutes) for step in steps}
        left = np.ones(block.households, bool)
        if block.wanted.max(initial=NONE_WANTED) != NONE_WANTED:
            for step, those in may.items():
                chosen = those & (block.wanted == step)
                self._bring(block, day, step, chosen, came)
                left &= ~chosen
        for step, those in may.items():
            chosen = those & left
            if chosen.any():
                self._bring(block, day, step, chosen, came)
                left &= ~chosen

    def _may(
        self,
        step: int,
        who: NDArray[np.bool_],
        cleared: NDArray[np.bool_],
        has_room: NDArray[np.bool_],
        block: Block,
        minutes: NDArray[np.int64] | None,
    ) -> NDArray[np.bool_]:
        """Which of some households a step may come to."""
        rules = self._rules
        if rules.waits[step]:
            who = who & has_room
            if minutes is not None:
                who &= rules.minutes[step] + minutes <= block.ceiling
        for other in rules.after[step]:
            if other == NOBODY:
                return np.zeros_like(who)
            who = who & cleared[other]
        some = [other for other in rules.after_any[step] if other != NOBODY]
        if rules.after_any[step]:
            who = who & cleared[some].any(axis=0)
        return who


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
    if paused is not None and paused.any():
        live &= ~paused
        block.open[:, paused] = False
        block.lapsed[paused] = False
    lapsed = block.lapsed & ~resumed
    returned = block.lapsed & resumed
    if block.was_paused.any():
        returned |= live & ~block.lapsed & block.was_paused & (block.gap >= rules.lapse_after)
    return live & ~lapsed, lapsed, returned


def _wake(block: Block, rules: Rulebook, who: NDArray[np.bool_]) -> None:
    """After a good day the first of the resting steps comes back (rules §5.4)."""
    if not who.any():
        return
    most = int(block.day_outcomes.max())
    enough = block.day_kept >= rules.least_kept(rules.good_day, most)[block.day_outcomes]
    good = ~block.was_paused & ~block.was_lapsed
    good &= ~block.had_checklist | ((block.day_outcomes > 0) & enough)
    waking = np.flatnonzero(who & good)
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
    if (block.ceiling == NO_CEILING).all():
        return None
    waiting = active & rules.waits[:, None]
    minutes: NDArray[np.int64] = np.add.reduce(rules.minutes[:, None] * waiting, axis=0)
    return minutes


def _lines(grid: NDArray[np.bool_]) -> NDArray[np.int32]:
    """(H,) how many of (S, H) hold."""
    lines: NDArray[np.int32] = np.add.reduce(grid, axis=0, dtype=np.int32)
    return lines


def rounded(strength: NDArray[np.float64]) -> NDArray[np.int64]:
    """Strengths in units of the last of their 9 decimals, rounded as Python's `round` does."""
    exact = strength * _UNITS
    units: NDArray[np.int64] = np.rint(exact).astype(np.int64)
    near = np.abs(np.abs(exact - np.floor(exact)) - 0.5) < _NEAR_A_HALF
    for place in zip(*np.nonzero(near), strict=True):
        units[place] = round(round(float(strength[place]), DECIMALS) * _UNITS)
    return units
