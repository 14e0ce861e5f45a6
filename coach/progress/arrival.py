"""Why a step came on the day it came: which rule let it in, told from the day's opening (rules §5.5)."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from coach.progress.log import What
from coach.progress.returning import at_least
from coach.progress.unlocking import counted_share, has_settled, latest_kept, waiting_minutes

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Sequence
    from datetime import date

    from coach.progress.log import Row
    from coach.progress.state import Record, State

Cause = Literal["start", "next", "after", "aside", "room", "added", "minutes", "hold", "turn", "free"]


@dataclass(frozen=True, slots=True)
class Because:
    """One thing that let a step in.

    Attributes:
        kind: `start` (the first day), `next` (the household asked for it), `after` (a step before it has
            held), `aside` (one before it was set aside), `room` (a waiting step held or was set aside, and
            left its room), `added` (added or restored that day), `minutes` (the ceiling was changed), `hold`
            (enough was kept lately again), `turn` (another came the day before, and one comes a day),
            `free` (nothing holds it back).
        step: The step meant, where there is one.
        kept: Outcomes kept among the latest `of`, of a step that settled the day before, unless its rule asks
            for more since; of `hold`, of the counted days; of `minutes`, the minutes of the waiting steps
            with it.
        of: Outcomes looked at; of `minutes`, the ceiling, or none.
    """

    kind: Cause
    step: str | None = None
    kept: int | None = None
    of: int | None = None


def causes(state: State, day: date, introduced: str, rows: Sequence[Row]) -> tuple[Because, ...]:
    """What let a step in that came by its turn.

    Args:
        state: As it stands after the opening of the day.
        day: The day.
        introduced: The step.
        rows: The rows that took effect as the day opened.
    """
    if day == state.started:
        return (Because("start", introduced),)
    record, fresh = state.records[introduced], _cleared_now(state, rows)
    found = (
        _gate(state, record, fresh)
        or _room(state, record, fresh)
        or _by_a_row(state, record, rows)
        or _enough_again(state)
        or _one_a_day(state, record)
        or _gate(state, record)
    )
    asked = (Because("next", introduced),) if state.wanted == introduced else ()
    return asked + found or (Because("free"),)


def _cleared_now(state: State, rows: Sequence[Row]) -> frozenset[str]:
    """The steps that settled as the day before closed, and those that were set aside as this one opened."""
    aside = {state.present(row.step) for row in rows if row.what is What.SET_ASIDE}
    return frozenset(
        step_id
        for step_id, record in state.records.items()
        if (record.settled is not None and record.settled == state.through)
        or (record.set_aside and step_id in aside)
    )


def _gate(state: State, record: Record, fresh: Collection[str] | None = None) -> tuple[Because, ...]:
    """The steps it came after, if they have cleared the way just now; without `fresh`, whenever they did."""
    records = state.records
    some = [name for name in record.step.after_any if name in records and records[name].cleared]
    newest = [name for name in some if fresh is not None and name in fresh]
    before = [*record.step.after, *(newest or some)[:1]]
    if fresh is not None and not any(name in fresh for name in before):
        return ()
    return tuple(_held(state, name, fresh or ()) for name in before)


def _held(state: State, name: str, fresh: Collection[str]) -> Because:
    record = state.records[name]
    if record.settled is None:
        return Because("aside", name)
    return Because("after", name, *(_numbers(record) if name in fresh else (None, None)))


def _numbers(record: Record) -> tuple[int, int] | tuple[None, None]:
    """Outcomes kept and looked at; none where a rule changed since asks for more than it settled by."""
    if not has_settled(record):
        return None, None
    return latest_kept(record)[0], record.step.settles.of


def _room(state: State, record: Record, fresh: Collection[str]) -> tuple[Because, ...]:
    """The waiting steps that have made room for a waiting one just now."""
    if not record.step.waits:
        return ()
    return tuple(
        _left_room(other)
        for name, other in state.records.items()
        if name in fresh and other.step.waits and other.introduced is not None
    )


def _left_room(record: Record) -> Because:
    kept, of = (None, None) if record.settled is None else _numbers(record)
    return Because("room", record.step.id, kept, of)


def _by_a_row(state: State, record: Record, rows: Sequence[Row]) -> tuple[Because, ...]:
    """What the household has decided that day, as far as it can let a step in."""
    return tuple(_decided(state, record, rows))[:1]


def _decided(state: State, record: Record, rows: Sequence[Row]) -> Iterator[Because]:
    for row in rows:
        if row.what in {What.ADD, What.RESTORE} and state.present(row.step) == record.step.id:
            yield Because("added", record.step.id)
        elif row.what is What.MINUTES and record.step.waits:
            yield Because("minutes", record.step.id, waiting_minutes(state), state.ceiling)


def _enough_again(state: State) -> tuple[Because, ...]:
    """Whether the day before ended a `hold`."""
    before = state.counted[:-1]
    if not before or not state.yesterday.outcomes:
        return ()
    kept, of = (sum(numbers) for numbers in zip(*before, strict=True))
    if at_least(kept, of, state.course.hold.at_least):
        return ()
    return (Because("hold", None, *counted_share(state)),)


def _one_a_day(state: State, record: Record) -> tuple[Because, ...]:
    """The step that came on the day before, and for which this one had to wait."""
    came = (
        other.step.id
        for other in state.records.values()
        if other is not record and other.introduced is not None and other.introduced == state.through
    )
    return tuple(Because("turn", step_id) for step_id in came)[:1]
