"""The opening of a household day: what is due, what comes, and who comes back (rules §5.1 to §5.7)."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING, cast

from coach.course.model import Slot
from coach.course.recurrence import falls
from coach.progress import decisions, returning, unlocking
from coach.progress.log import Row, What
from coach.progress.turns import Turn, turn_on

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

    from coach.progress.journal import Journal
    from coach.progress.log import Mark
    from coach.progress.state import Record, State
    from coach.progress.turns import StepLesson


class Phase(StrEnum):
    """Where a household stands on a day."""

    RAMPING = "ramping"
    STEADY = "steady"
    PAUSED = "paused"
    LAPSED = "lapsed"
    REBUILDING = "rebuilding"


SLOT_ORDER = {slot: place for place, slot in enumerate(Slot)}


@dataclass(frozen=True, slots=True)
class Opening:
    """How a day opened.

    Attributes:
        introduced: The step that came by its turn (not by a mark).
        checklist: Ids of the active steps with an open occurrence, in the checklist's order.
        marks: The marks of the day that say something: those of steps known on it.
        comeback: What a return day brought.
        opened: Whether some occurrence opened on this day.
        turn: What its lesson is about.
        lesson: The lesson of a step whose turn it is.
    """

    date: date
    phase: Phase
    introduced: str | None
    checklist: tuple[str, ...]
    marks: Mapping[str, Mark]
    comeback: returning.Comeback | None
    opened: bool
    turn: Turn = Turn.AWAY
    lesson: StepLesson | None = None


def open_day(state: State, journal: Journal, day: date) -> Opening:
    """Open a day: `state` stands after the close of the household day before it."""
    rows = journal.decisions_between(state.through, day)
    decisions.apply(state, rows)
    marks = _marks(state, journal, day)
    if day != state.started and returning.is_paused(state, day, has_mark=bool(marks)):
        return _rest(state, day, Phase.PAUSED)
    introduced, comeback, rested = None, None, bool(state.resting)
    choice = _choice(rows)
    if day == state.started:
        introduced = _introduce(state, day, _first(state, journal))
    elif returning.is_return_day(state, has_mark=bool(marks), resumed=choice is not None):
        comeback = returning.come_back(state, choice or "")
    elif state.lapsed:
        return _rest(state, day, Phase.LAPSED)
    elif state.resting:
        if returning.was_good_day(state):
            returning.wake_first(state)
    else:
        introduced = _introduce(state, day, unlocking.next_step(state))
    opened = _admit_marked(state, day, marks) | open_occurrences(state, day)
    turn, lesson = turn_on(state, day, introduced, on_the_way_back=rested or comeback is not None)
    return Opening(day, _phase(state), introduced, checklist(state), marks, comeback, opened, turn, lesson)


def _marks(state: State, journal: Journal, day: date) -> dict[str, Mark]:
    """The marks of the day by the steps known on it; of a step's several ids the one written last counts."""
    found: dict[str, Mark] = {}
    for name, mark in journal.marks.get(day, {}).items():
        record = state.known(name)
        if record is not None and mark is not None:
            found[record.step.id] = mark
        elif record is not None:
            found.pop(record.step.id, None)
    return found


def _rest(state: State, day: date, phase: Phase) -> Opening:
    """A paused day, which also ends a lapse, or a lapsed one: nothing is due."""
    if phase is Phase.PAUSED:
        returning.forget_open(state)
        state.lapsed = False
    return Opening(day, phase, None, (), {}, None, opened=False)


def _choice(rows: list[Row]) -> returning.Choice | None:
    """What the day's `resume` rows chose, the latest choice first; None if there are none."""
    values = [row.value for row in rows if row.what is What.RESUME]
    chosen = [value for value in values if value]
    return cast("returning.Choice", chosen[-1] if chosen else "") if values else None


def _first(state: State, journal: Journal) -> Record | None:
    chosen = state.known(journal.start_row().step)
    return chosen or next((record for record in state.records.values() if record.step.is_root), None)


def _introduce(state: State, day: date, record: Record | None) -> str | None:
    if record is None:
        return None
    record.introduced = day
    record.free = state.free if record.own else 0
    return record.step.id


def _admit_marked(state: State, day: date, marks: Mapping[str, Mark]) -> bool:
    """Take up steps marked before their turn, and marked ones that rest; whether one was introduced."""
    opened = False
    for step_id in marks:
        record = state.records[step_id]
        if record.introduced is None and not record.set_aside:
            _introduce(state, day, record)
            record.open_since, opened = day, True
        elif record.resting:
            record.resting = False
            state.resting.remove(step_id)
    return opened


def open_occurrences(state: State, day: date) -> bool:
    """Open the occurrences that fall on the day; whether there was one."""
    opened = False
    for record in state.records.values():
        introduced = record.introduced
        if introduced is None or record.resting or record.set_aside:
            continue
        if falls(record.step.repeats, introduced, day):
            record.open_since = day
            opened = True
    return opened


def checklist(state: State) -> tuple[str, ...]:
    """The active steps with an open occurrence: morning, anytime, evening, and course order within each."""
    due = [
        (SLOT_ORDER[record.step.slot], record.position, step_id)
        for step_id, record in state.records.items()
        if record.open_since is not None and record.active
    ]
    return tuple(step_id for _, _, step_id in sorted(due))


def _phase(state: State) -> Phase:
    if state.resting:
        return Phase.REBUILDING
    on_the_way = (
        record.introduced is None or (record.step.waits and record.settled is None)
        for record in state.records.values()
        if not record.set_aside
    )
    return Phase.RAMPING if any(on_the_way) else Phase.STEADY
