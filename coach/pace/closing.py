"""The close of a day for many households at once: the rules §5.8 to §5.11 over arrays."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from coach.pace.among import every, lines, some

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from coach.pace.block import Block
    from coach.pace.opening import Opened
    from coach.pace.rulebook import Rulebook

_IN_CACHE = 4096
"""How many strengths are worked on at a time."""


@dataclass(frozen=True, slots=True)
class Marks:
    """What is marked on a day; a line marked neither way stays as it is.

    Attributes:
        kept: (S, H) lines marked kept, among the open ones.
        missed: (S, H) lines marked missed, among the open ones.
        excused: (S, H) lines excused, among the open ones; None where nobody excuses any.
        any: (H,) whether anything is marked.
    """

    kept: NDArray[np.bool_]
    missed: NDArray[np.bool_]
    any: NDArray[np.bool_]
    excused: NDArray[np.bool_] | None = None


@dataclass(frozen=True, slots=True)
class Closed:
    """How a day closed.

    Attributes:
        kept: (S, H) outcomes kept; `missed` likewise.
        settled: (S, H) which steps settled at this close.
    """

    kept: NDArray[np.bool_]
    missed: NDArray[np.bool_]
    settled: NDArray[np.bool_]


class Closer:
    """Closes days for blocks under one rulebook."""

    def __init__(self, rules: Rulebook) -> None:
        self._rules = rules
        self._masks: NDArray[np.unsignedinteger] | None = None

    def close(self, block: Block, opened: Opened, marks: Marks, falls_tomorrow: NDArray[np.bool_]) -> Closed:
        """Close a day that was opened.

        Args:
            block: As it stands after the opening; it goes on to stand after the close.
            opened: How the day opened.
            marks: What is marked, of live households alone.
            falls_tomorrow: (S, H) which steps fall on the next household day, whether they have come or not.
        """
        kept = marks.kept
        missed = marks.missed | (block.open & ~kept & falls_tomorrow & opened.live)
        if marks.excused is not None:
            missed &= ~marks.excused
        closed = kept | missed
        _strengthen(block, self._rules, opened, kept, missed)
        block.open &= ~closed
        if marks.excused is not None:
            block.open &= ~marks.excused
        _remember(block, closed, kept)
        settled = self._settle(block, opened)
        _count(block, opened, kept, closed)
        _note_empty(block, self._rules, opened, marks.any)
        return Closed(kept, missed, settled)

    def _settle(self, block: Block, opened: Opened) -> NDArray[np.bool_]:
        """An active practising step settles when enough of its latest outcomes are kept (rules §5.9)."""
        rules, settled = self._rules, opened.active & ~block.settled
        settled &= opened.live
        if self._masks is None:
            self._masks = _masks(rules, block.history)
        words = np.bitwise_count(block.history & self._masks)
        latest = words[0] if len(words) == 1 else words.sum(axis=0, dtype=np.int16)
        settled &= latest >= rules.kept[:, None].astype(latest.dtype)
        if some(settled):
            block.settled |= settled
            block.left -= lines(settled & rules.waits[:, None])
        return settled


def _strengthen(
    block: Block, rules: Rulebook, opened: Opened, kept: NDArray[np.bool_], missed: NDArray[np.bool_]
) -> None:
    """Strength grows by what is kept and fades by what is missed, on days that rest too (rules §5.10)."""
    fading = missed
    if not every(opened.live) or some(block.resting):
        fading = missed | (opened.falls & ~block.aside & ~(opened.active & opened.live))
    # Some steps at a time, as their numbers fit the processor's cache and those of all may not.
    many = max(1, _IN_CACHE // block.households)
    spare = np.empty((many, block.households))
    for first in range(0, rules.size, many):
        rows = slice(first, first + many)
        strength = block.strength[rows]
        change = spare[: strength.shape[0]]
        if some(kept[rows]):
            np.subtract(1.0, strength, out=change)
            change *= rules.growth
            change *= kept[rows]
            strength += change
        if some(fading[rows]):
            np.maximum(~fading[rows], rules.fading, out=change)  # 1 where it does not fade
            strength *= change


def _remember(block: Block, closed: NDArray[np.bool_], kept: NDArray[np.bool_]) -> None:
    """Take the outcomes into each step's history."""
    words = block.history
    size = words.dtype.itemsize * 8 - 1
    shift = closed.view(np.uint8)
    for word in range(words.shape[0] - 1, 0, -1):
        carried = np.where(closed, words[word - 1] >> words.dtype.type(size), 0)
        np.left_shift(words[word], shift, out=words[word])
        words[word] |= carried.astype(words.dtype)
    np.left_shift(words[0], shift, out=words[0])
    words[0] |= kept


def _masks(rules: Rulebook, history: NDArray[np.unsignedinteger]) -> NDArray[np.unsignedinteger]:
    """(words, S, 1) the bits of the outcomes a step's rule looks at."""
    size = history.dtype.itemsize * 8
    every = (1 << size) - 1
    masks = [
        [(1 << max(0, min(int(of) - word * size, size))) - 1 & every for of in rules.of]
        for word in range(history.shape[0])
    ]
    return np.array(masks, history.dtype)[:, :, None]


def _count(block: Block, opened: Opened, kept: NDArray[np.bool_], closed: NDArray[np.bool_]) -> None:
    """A day with an outcome is a counted one (rules §5.5)."""
    block.day_kept = lines(kept).astype(np.int32)
    block.day_outcomes = lines(closed).astype(np.int32)
    counts = block.day_outcomes > 0
    window, households = block.counted.shape
    places = block.turn * households + np.arange(households)
    for ring, total, today in (
        (block.counted_kept.reshape(-1), block.sum_kept, block.day_kept),
        (block.counted.reshape(-1), block.sum_counted, block.day_outcomes),
    ):
        gone = ring.take(places)
        come = np.where(counts, today, gone)
        ring[places] = come
        np.add(total, come - gone, out=total)
    block.turn += counts
    block.turn[block.turn == window] = 0
    block.was_paused = ~opened.live & ~opened.lapsed
    block.was_lapsed = opened.lapsed
    block.had_checklist = opened.listed & opened.live


def _note_empty(block: Block, rules: Rulebook, opened: Opened, marked: NDArray[np.bool_]) -> None:
    """A mark ends the run of empty days; a day on which something fell and nothing is marked adds to it."""
    empty = opened.live & opened.fell & ~marked
    block.empty_run *= ~marked
    block.empty_run += empty
    block.lapsed |= empty & (block.empty_run >= rules.lapse_after)
    block.gap += 1
    block.gap *= ~marked
