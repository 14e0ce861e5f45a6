"""The close of a day: how occurrences end, what settles, strength, and empty days (rules §5.8 to §5.11)."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.course.recurrence import falls
from coach.progress.days import following
from coach.progress.log import Mark
from coach.progress.opening import Opening, Phase
from coach.progress.state import RECENT, Record, State, Yesterday
from coach.progress.turns import count_turn
from coach.progress.unlocking import has_settled

if TYPE_CHECKING:
    from datetime import date

    from coach.progress.strength import Rates

KEEPING = frozenset({Mark.KEPT, Mark.SMALL})


def close_day(state: State, opening: Opening) -> None:
    """Close a day that was opened."""
    if opening.phase in {Phase.PAUSED, Phase.LAPSED}:
        kept, outcomes = 0, 0
        _fade_all(state, opening.date)
        _note_away(state, opening.date)
    else:
        kept, outcomes = _close_occurrences(state, opening)
        _settle(state, opening.date)
        _fade_resting(state, opening.date)
        _count(state, kept, outcomes)
        _note_empty(state, opening)
    count_turn(state, opening.date, opening.turn, opening.lesson)
    state.gap = 0 if opening.marks else state.gap + 1
    state.yesterday = Yesterday(
        paused=opening.phase is Phase.PAUSED,
        lapsed=opening.phase is Phase.LAPSED,
        kept=kept,
        outcomes=outcomes,
        had_checklist=bool(opening.checklist),
    )
    state.through = opening.date


def _close_occurrences(state: State, opening: Opening) -> tuple[int, int]:
    """Close what was marked and what falls again tomorrow; outcomes kept and in all."""
    day, marks, rates = opening.date, opening.marks, state.rates
    tomorrow = following(day, state.zone)
    kept = outcomes = 0
    for step_id, record in state.records.items():
        if not record.active:
            continue
        if record.open_since is None:
            continue
        mark = marks.get(step_id)
        if mark in KEEPING:
            _kept(record, rates, day)
            kept += 1
            outcomes += 1
        elif mark is Mark.EXCUSED:
            record.open_since = None
        elif mark is Mark.MISSED or _falls(record, tomorrow):
            _missed(record, rates, day)
            outcomes += 1
    return kept, outcomes


def _falls(record: Record, day: date) -> bool:
    return record.introduced is not None and falls(record.step.repeats, record.introduced, day)


def _kept(record: Record, rates: Rates, day: date) -> None:
    record.kept += 1
    record.strength += rates.typical * (1.0 - record.strength)
    record.slowest += rates.slowest * (1.0 - record.slowest)
    record.fastest += rates.fastest * (1.0 - record.fastest)
    _outcome(record, day, kept=True)


def _missed(record: Record, rates: Rates, day: date) -> None:
    fade(record, rates)
    _outcome(record, day, kept=False)


def _outcome(record: Record, day: date, *, kept: bool) -> None:
    record.open_since = None
    record.due += 1
    record.outcomes.append((day, kept))
    if record.settled is not None and len(record.outcomes) > RECENT:
        del record.outcomes[:-RECENT]


def fade(record: Record, rates: Rates) -> None:
    """Let strength fade by one missed occurrence."""
    record.strength *= rates.fading
    record.slowest *= rates.fading
    record.fastest *= rates.fading


def _settle(state: State, day: date) -> None:
    for record in state.records.values():
        if record.settled is None and record.active and has_settled(record):
            record.settled = day


def _fade_all(state: State, day: date) -> None:
    """On a day that rests every step fades that would have been due."""
    for record in state.records.values():
        if not record.set_aside and _falls(record, day):
            fade(record, state.rates)


def _note_away(state: State, day: date) -> None:
    if state.yesterday.paused or state.yesterday.lapsed:
        state.away[-1] = (state.away[-1][0], day)
    else:
        state.away.append((day, day))


def _fade_resting(state: State, day: date) -> None:
    for step_id in state.resting:
        record = state.records[step_id]
        if _falls(record, day):
            fade(record, state.rates)


def _count(state: State, kept: int, outcomes: int) -> None:
    if outcomes:
        state.counted.append((kept, outcomes))
        del state.counted[: -state.course.hold.over]


def _note_empty(state: State, opening: Opening) -> None:
    """A mark ends the run of empty days; a day on which something was due and nothing marked adds to it."""
    if opening.marks:
        state.empty_run = 0
    elif opening.opened:
        state.empty_run += 1
        state.lapsed = state.empty_run >= state.course.lapse_after
