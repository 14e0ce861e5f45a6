"""One household's present standing as the first household of a block, from which many futures set out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from coach.pace.block import NO_CEILING, NONE_WANTED, fresh
from coach.pace.closing import Marks
from coach.pace.opening import NOT_ONE, PHASES, Opened
from coach.pace.rulebook import rulebook
from coach.progress.closing import KEEPING
from coach.progress.log import Mark
from coach.progress.opening import Phase

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from coach.pace.block import Block
    from coach.pace.falls import Falls
    from coach.pace.rulebook import Rulebook
    from coach.progress.opening import Opening
    from coach.progress.state import Record, State


@dataclass(frozen=True, slots=True)
class Present:
    """A household on a day that has opened, as H futures that are all alike so far.

    Attributes:
        block: As it stands after the opening.
        opened: That opening.
        marked: What is marked on the day so far.
    """

    block: Block
    opened: Opened
    marked: Marks


def rulebook_of(state: State) -> Rulebook:
    """The rules as they hold for a household: at its pace, with its own steps and changes."""
    return rulebook(state.course, [record.step for record in state.records.values()])


def present(
    state: State, opening: Opening, rules: Rulebook, falls: Falls, households: int, days: int
) -> Present:
    """Where a household stands, so many times over.

    Args:
        state: After the opening of the day.
        opening: That opening.
        rules: Its rules, of `rulebook_of`.
        falls: The days on which its steps fall, from this day on.
        households: How many futures.
        days: For how many days they are to be followed, this one included.
    """
    block = _block(state, rules, falls, days).taken(np.zeros(households, np.int64))
    return Present(block, _opened(block, rules, falls, opening), _marked(block, rules, opening))


def _block(state: State, rules: Rulebook, falls: Falls, days: int) -> Block:
    """One household."""
    block = fresh(rules, 1, days + len(state.counted))
    for number, record in enumerate(state.records.values()):
        _step(block, number, record, falls)
    for place, name in enumerate(state.resting):
        block.rank[rules.ids.index(name), 0] = place + 1
    block.resting[0] = len(state.resting)
    block.known[0] = (block.introduced & ~block.aside).sum()
    to_settle = rules.waits[:, None] & ~block.settled
    block.left[0] = (~block.aside & ~block.introduced).sum() + (~block.aside & to_settle).sum()
    for place, (kept, outcomes) in enumerate(state.counted):
        block.counted_kept[place, 0], block.counted[place, 0] = kept, outcomes
    block.turn[0] = len(state.counted) % block.counted.shape[0]
    block.sum_kept[0], block.sum_counted[0] = block.counted_kept.sum(), block.counted.sum()
    block.gap[0], block.empty_run[0], block.lapsed[0] = state.gap, state.empty_run, state.lapsed
    before = state.yesterday
    block.was_paused[0], block.was_lapsed[0] = before.paused, before.lapsed
    block.had_checklist[0] = before.had_checklist
    block.day_kept[0], block.day_outcomes[0] = before.kept, before.outcomes
    block.wanted[0] = rules.ids.index(state.wanted) if state.wanted in rules.ids else NONE_WANTED
    block.ceiling[0] = NO_CEILING if state.ceiling is None else state.ceiling
    return block


def _step(block: Block, number: int, record: Record, falls: Falls) -> None:
    block.introduced[number] = record.introduced is not None
    block.settled[number] = record.settled is not None
    block.aside[number] = record.set_aside
    block.open[number] = record.open_since is not None and record.active
    block.strength[number] = record.strength
    if record.introduced is not None:
        block.rows[number] = falls.row(number, record.introduced)
    size = block.history.dtype.itemsize * 8
    for age, (_, kept) in enumerate(reversed(record.outcomes[-size * block.history.shape[0] :])):
        block.history[age // size, number] |= block.history.dtype.type(int(kept) << (age % size))


def _opened(block: Block, rules: Rulebook, falls: Falls, opening: Opening) -> Opened:
    each = block.households
    phase = PHASES.index(opening.phase.value)
    came = NOT_ONE if opening.introduced is None else rules.ids.index(opening.introduced)
    today = falls.on(0, block.rows, np.empty_like(block.open))
    return Opened(
        live=np.full(each, opening.phase not in {Phase.PAUSED, Phase.LAPSED}),
        lapsed=np.full(each, opening.phase is Phase.LAPSED),
        returned=np.full(each, opening.comeback is not None),
        introduced=np.full(each, came, np.int64),
        falls=today & block.introduced,
        active=block.introduced & ~block.aside & (block.rank == 0),
        fell=np.full(each, opening.opened),
        listed=np.full(each, bool(opening.checklist)),
        phase=np.full(each, phase, np.int8),
    )


def _marked(block: Block, rules: Rulebook, opening: Opening) -> Marks:
    said = [opening.marks.get(step) for step in rules.ids]
    return Marks(
        kept=_lines(block, [mark in KEEPING for mark in said]),
        missed=_lines(block, [mark is Mark.MISSED for mark in said]),
        any=np.full(block.households, bool(opening.marks)),
        excused=_lines(block, [mark is Mark.EXCUSED for mark in said]),
    )


def _lines(block: Block, which: list[bool]) -> NDArray[np.bool_]:
    marked: NDArray[np.bool_] = block.open & np.array(which, bool)[:, None]
    return marked
