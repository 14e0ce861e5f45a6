"""Whose turn a day's lesson is: one of a step's, or a text that belongs to no step (rules §8)."""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from datetime import date

    from coach.progress.state import Record, State

StepLesson = tuple[str, int]
"""A step's id, and the number of one of its lessons, counted from 1."""
MISSED_APART = 14
"""The least number of calendar days between two days that are told what to do after a day all missed."""
FEWEST_MISSED = 2
"""So many outcomes a day all missed needs to have."""


class Turn(StrEnum):
    """What a day's lesson is about."""

    AWAY = "away"
    STEP = "step"
    MISSED = "missed"
    FREE = "free"


def turn_on(
    state: State, day: date, introduced: str | None, *, on_the_way_back: bool
) -> tuple[Turn, StepLesson | None]:
    """Whose turn the lesson is on a day that has opened and neither pauses nor lapses.

    Args:
        state: As it stands after the opening.
        day: The day.
        introduced: The step that came by its turn.
        on_the_way_back: Whether it is a return day, or opened with resting steps.
    """
    if on_the_way_back:
        return Turn.AWAY, None
    if introduced is not None and state.records[introduced].step.lessons:
        return Turn.STEP, (introduced, 1)
    if _follows_a_day_missed(state, day):
        return Turn.MISSED, None
    record = _latest_unread(state)
    return (Turn.FREE, None) if record is None else (Turn.STEP, (record.step.id, record.read + 1))


def _follows_a_day_missed(state: State, day: date) -> bool:
    """Whether all was missed on the household day before, and none of the latest days answered such a one."""
    before = state.yesterday
    if before.kept or before.outcomes < FEWEST_MISSED:
        return False
    return state.answered is None or (day - state.answered).days >= MISSED_APART


def _latest_unread(state: State) -> Record | None:
    """The active step with an unread lesson that came latest, of several the later in course order."""
    unread = [
        record
        for record in state.records.values()
        if record.read < len(record.step.lessons) and record.active
    ]
    return max(unread, key=lambda record: (record.introduced, record.position), default=None)


def count_turn(state: State, day: date, turn: Turn, lesson: StepLesson | None) -> None:
    """Count what a day's lesson was, as the day closes."""
    if lesson is not None:
        state.records[lesson[0]].read += 1
    elif turn is Turn.MISSED:
        state.answered, state.answers = day, state.answers + 1
    elif turn is Turn.FREE:
        state.free += 1
