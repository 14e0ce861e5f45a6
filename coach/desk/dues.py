"""Dues: written down, changed, settled, and taken off."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from coach.desk.book import desk_book, done_key
from coach.desk.due_rows import DONE, KIND, MOST, due_json, due_of, read_due
from coach.desk.overview import desk_in
from coach.errors import NotEditable, Unknown
from coach.ground.ids import free_ids
from coach.ground.writing import Decision, to_plan, written
from coach.progress.days import ONE_DAY

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import date

    from coach.desk.answers import Desk
    from coach.desk.due_rows import TypedDue
    from coach.desk.rules.dues import Due
    from coach.ground.ports import Context, PlanRow
    from coach.ground.situation import Situation


def add(context: Context, household: str, typed: TypedDue) -> tuple[str, Desk]:
    """Write a due down.

    Returns:
        Its id, and the desk as it then stands.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unfit: It cannot be kept.
        NotEditable: There are too many.
    """

    def decide(where: Situation) -> Decision[str]:
        row = added_row(where, typed)
        return to_plan([row], row.key)

    return written(context, household, decide, lambda where, due_id: (due_id, desk_in(where)))


def added_row(where: Situation, typed: TypedDue) -> PlanRow:
    """The row that writes a due down."""
    book = desk_book(where)
    if len(book.dues) >= MOST:
        raise NotEditable(f"There are {MOST} dues already. Take one off before you write down another.")
    taken = {*book.dues, *(due_id for due_id, _ in book.done)}
    due_id = next(free_ids(where.today, taken))
    return where.row(KIND, due_id, due_json(read_due(typed, due_id, where.today)))


def change(context: Context, household: str, due_id: str, typed: TypedDue) -> Desk:
    """Change a due. With another date or rule it begins anew; what was settled stays settled.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: There is no such due.
        Unfit: It cannot be kept so.
    """

    def decide(where: Situation) -> Decision[None]:
        old = _kept(where, due_id)
        new = read_due(typed, due_id, where.today)
        if (new.on, new.repeats) == (old.on, old.repeats):
            new = replace(new, settled_through=old.settled_through)
            new = new if new.needs != old.needs else replace(new, entered=old.entered)
        return to_plan([] if new == old else [where.row(KIND, due_id, due_json(new))])

    return _decided(context, household, decide)


def remove(context: Context, household: str, due_id: str) -> Desk:
    """Take a due off, with all its dates to come.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: There is no such due.
    """

    def decide(where: Situation) -> Decision[None]:
        _kept(where, due_id)
        return to_plan([where.row(KIND, due_id, None)])

    return _decided(context, household, decide)


def settle(context: Context, household: str, due_id: str, on: date) -> Desk:
    """Say that a date of a due is dealt with; twice is the same as once.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: There is no such due, or it is not due then.
    """

    def decide(where: Situation) -> Decision[None]:
        book = desk_book(where)
        if (due_id, on) in book.done:
            return to_plan([])
        due = _kept(where, due_id)
        if not book.is_open(due, on):
            raise Unknown(f"“{due.name}” is not due on {on}. The desk shows when it is.")
        return to_plan(
            [_done_row(where, due, on), *_after(where, due, on, is_first=book.next_open(due) == on)]
        )

    return _decided(context, household, decide)


def _done_row(where: Situation, due: Due, on: date) -> PlanRow:
    value = {"name": due.name, "settled": where.today.isoformat(), "due": due_json(due)}
    return where.row(DONE, done_key(on, due.id), value)


def _after(where: Situation, due: Due, on: date, *, is_first: bool) -> list[PlanRow]:
    """What becomes of a due of which a date is settled: a single one is taken off, others go on."""
    if due.repeats is None:
        return [where.row(KIND, due.id, None)]
    if not is_first:
        return []
    return [where.row(KIND, due.id, due_json(replace(due, settled_through=on)))]


def unsettle(context: Context, household: str, due_id: str, on: date) -> Desk:
    """Say that a date of a due is not dealt with after all.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: It was not settled, or its due has been taken off.
    """

    def decide(where: Situation) -> Decision[None]:
        key = done_key(on, due_id)
        value = where.value(DONE, key)
        if value is None:
            raise Unknown(f"Nothing of that is settled on {on}. It may have been taken back meanwhile.")
        settled = due_of(due_id, value["due"])
        return to_plan([where.row(DONE, key, None), *_reopened(where, settled, on)])

    return _decided(context, household, decide)


def _reopened(where: Situation, settled: Due, on: date) -> list[PlanRow]:
    """What becomes of a due of which a date was settled by mistake."""
    if settled.repeats is None:
        return [where.row(KIND, settled.id, due_json(settled))]
    value = where.value(KIND, settled.id)
    if value is None:
        raise Unknown(f"“{settled.name}” has been taken off. Write it down again if it is still due.")
    due = due_of(settled.id, value)
    if due.settled_through is None or due.settled_through < on:
        return []
    return [where.row(KIND, due.id, due_json(replace(due, settled_through=on - ONE_DAY)))]


def _kept(where: Situation, due_id: str) -> Due:
    value = where.value(KIND, due_id)
    if value is None:
        raise Unknown("There is no such due. It may have been settled or taken off meanwhile.")
    return due_of(due_id, value)


def _decided(context: Context, household: str, decide: Callable[[Situation], Decision[None]]) -> Desk:
    return written(context, household, decide, lambda where, _: desk_in(where))
