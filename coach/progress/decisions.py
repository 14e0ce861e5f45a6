"""What the rows other than marks change as their date opens (rules §4 and §5.1)."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from coach.course.definition import MINUTES_A_DAY, adjusted, step_from
from coach.course.digits import whole_number
from coach.errors import Malformed
from coach.progress.days import checked_zone, hour_of, iso_date
from coach.progress.log import Row, What
from coach.progress.state import Pause, Record, State

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable
    from datetime import date

CHOICES = frozenset({"", "all", "one"})


def table_of(row: Row) -> dict[str, Any]:
    """The JSON object an `add` or `adjust` row carries.

    Raises:
        Malformed: It is not a JSON object.
    """
    try:
        table = json.loads(row.value)
    except (ValueError, RecursionError):
        table = None
    if not isinstance(table, dict):
        raise Malformed(f"The value of “{row.what}” has to be a JSON object of the step's keys.")
    return table


def last_day(row: Row) -> date | None:
    """The last paused date of a `pause` row, or None for an open end.

    Raises:
        Malformed: It is neither blank nor a date.
    """
    return iso_date(row.value) if row.value else None


def ceiling_of(row: Row) -> int | None:
    """The most minutes a day for waiting steps, or None for no ceiling.

    Raises:
        Malformed: It is neither blank nor a whole number of minutes within a day.
    """
    if not row.value:
        return None
    ceiling = whole_number(row.value, MINUTES_A_DAY)
    if ceiling is None:
        raise Malformed(f"“{row.value}” is not a number of minutes from 0 to 1440. Leave it blank for none.")
    return ceiling


def _pause(state: State, row: Row) -> None:
    state.pause = Pause(row.date, last_day(row))


def _resume(state: State, row: Row) -> None:
    if row.value not in CHOICES:
        raise Malformed(f"“{row.value}” cannot be resumed with. Leave it blank, or write all or one.")
    state.pause = None


def _set_aside(state: State, row: Row) -> None:
    record = state.known(row.step)
    if record is None:
        return
    record.set_aside, record.open_since = True, None
    if record.resting:
        record.resting = False
        state.resting.remove(record.step.id)


def _restore(state: State, row: Row) -> None:
    record = state.known(row.step)
    if record is not None:
        record.set_aside = False


def _next(state: State, row: Row) -> None:
    state.wanted = state.present(row.step)


def _minutes(state: State, row: Row) -> None:
    state.ceiling = ceiling_of(row)


def _pace(state: State, row: Row) -> None:
    """What has settled stays settled; the rest is judged by the new numbers from the next close on."""
    if row.value not in state.course.paces:
        return
    state.pace = row.value
    for record in state.records.values():
        state.refresh(record)


def _zone(state: State, row: Row) -> None:
    state.zone = checked_zone(row.value)


def _day_starts(state: State, row: Row) -> None:
    state.day_starts = hour_of(row.value)


def _add(state: State, row: Row) -> None:
    if row.step in state.records:
        return
    base = state.with_present_names(step_from(row.step, table_of(row)))
    record = Record(base, base, len(state.records), own=True)
    state.refresh(record)
    state.records[row.step] = record


def _adjust(state: State, row: Row) -> None:
    record = state.known(row.step)
    if record is None:
        return
    changes = table_of(row)
    adjusted(record.base, changes)
    record.changes = record.changes | changes
    state.refresh(record)


EFFECTS: dict[What, Callable[[State, Row], None]] = {
    What.PAUSE: _pause,
    What.RESUME: _resume,
    What.SET_ASIDE: _set_aside,
    What.RESTORE: _restore,
    What.NEXT: _next,
    What.MINUTES: _minutes,
    What.PACE: _pace,
    What.ZONE: _zone,
    What.DAY_STARTS: _day_starts,
    What.ADD: _add,
    What.ADJUST: _adjust,
}


def apply(state: State, rows: Iterable[Row]) -> None:
    """Let rows take effect, in the order given.

    A row about a step that does not exist has none, nor has one of a pace that the course does not have.

    Raises:
        Malformed: A row's value cannot be read.
    """
    for row in rows:
        effect = EFFECTS.get(row.what)
        if effect is not None:
            effect(state, row)
