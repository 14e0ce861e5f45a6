"""Pauses, lapses and the way back: which days rest, what a household comes back to (rules §5.2 to §5.4)."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from datetime import date

    from coach.progress.state import Record, State

Choice = Literal["", "all", "one"]
DECIMALS = 9


@dataclass(frozen=True, slots=True)
class Comeback:
    """What a return day brought, or, on a lapsed day, would bring.

    Attributes:
        gap: Household days since the latest one with a mark.
        back: Steps that come straight back.
        of: Introduced steps not set aside.
        choice: What the household chose for that day: nothing, `all` or `one`.
        after_pause: Whether it came from a pause and not from a lapse.
    """

    gap: int
    back: int
    of: int
    choice: Choice
    after_pause: bool


def is_paused(state: State, day: date, *, has_mark: bool) -> bool:
    """Whether the day is paused; a mark ends an open-ended pause and interrupts a dated one."""
    if state.pause is None or not state.pause.covers(day):
        return False
    if has_mark and state.pause.until is None:
        state.pause = None
    return not has_mark


def is_return_day(state: State, *, has_mark: bool, resumed: bool) -> bool:
    """Whether the household comes back today, from a lapse or from a long pause."""
    if state.lapsed:
        return has_mark or resumed
    return state.yesterday.paused and state.gap >= state.course.lapse_after


def forget_open(state: State) -> None:
    """Forget every open occurrence."""
    for record in state.records.values():
        record.open_since = None


def _number_back(count: int, gap: int, half_life: float, choice: Choice) -> int:
    if choice == "all":
        return count
    if choice == "one":
        return min(1, count)
    usual = math.floor(count * math.pow(2.0, -gap / half_life) + 0.5)
    return min(count, max(usual, 1))


def _strongest_first(record: Record) -> tuple[float, int]:
    return -round(record.strength, DECIMALS), record.position


def come_back(state: State, choice: Choice) -> Comeback:
    """Bring the strongest steps straight back and let the others rest."""
    ranked = sorted(
        (record for record in state.records.values() if record.introduced and not record.set_aside),
        key=_strongest_first,
    )
    back = _number_back(len(ranked), state.gap, state.course.returning.half_life, choice)
    for place, record in enumerate(ranked):
        record.resting = place >= back
    state.resting = [record.step.id for record in ranked[back:]]
    forget_open(state)
    after_pause = not state.lapsed
    if not after_pause:
        state.counted.clear()
    state.lapsed = False
    state.empty_run = 0
    return Comeback(state.gap, back, len(ranked), choice, after_pause)


def was_good_day(state: State) -> bool:
    """Whether the household day before brings one more step back."""
    before = state.yesterday
    if before.paused or before.lapsed:
        return False
    if not before.had_checklist:
        return True
    return before.outcomes > 0 and at_least(before.kept, before.outcomes, state.course.returning.good_day)


def at_least(kept: int, outcomes: int, share: float) -> bool:
    """Whether the share kept reaches `share`, compared at 9 decimals."""
    return round(kept / outcomes, DECIMALS) >= round(share, DECIMALS)


def wake_first(state: State) -> None:
    """Bring the first resting step back."""
    state.records[state.resting.pop(0)].resting = False
