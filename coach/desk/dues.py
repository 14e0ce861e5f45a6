"""Dues: read as they are typed, written down, changed, settled, and taken off."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import partial
from typing import TYPE_CHECKING, TypeVar

from coach.course.digits import whole_number
from coach.desk.book import DUE, SETTLED, desk_book, done_key, due_json, due_of, kept_due, settled_due
from coach.desk.overview import desk_in
from coach.desk.rules.dues import DAYS_NEEDED, Due, checked_due
from coach.desk.rules.repeating import dates_of
from coach.errors import Malformed, NotEditable, Unknown
from coach.ground.faults import FieldFault, Unfit
from coach.ground.ids import free_ids
from coach.ground.writing import Decision, to_plan, written
from coach.progress.days import ONE_DAY, iso_date

if TYPE_CHECKING:
    from collections.abc import Callable

    from coach.desk.answers import Desk
    from coach.ground.ports import Context, PlanRow
    from coach.ground.situation import Situation

MOST = 300
_YEARS = range(1900, 2201)
_LOOK_AHEAD = timedelta(days=40 * 366)
_MOST_DAYS = 9999
T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class TypedDue:
    """A due as typed.

    Attributes:
        on: YYYY-MM-DD.
        repeats: RFC 5545 rule; empty for a single date; none leaves the rule of a due that is changed.
        needs: Days needed before; empty for the usual ones.
    """

    name: str = ""
    on: str = ""
    repeats: str | None = ""
    needs: str = ""
    amount: str = ""


def read_due(typed: TypedDue, due_id: str, today: date) -> Due:
    """The due that was typed.

    What repeats and began before today is owed from today on: what came before is taken as dealt with.

    Raises:
        Unfit: It cannot be kept; every fault stands beside its field.
    """
    faults: list[FieldFault] = []
    on = _checked(faults, "on", lambda: _date(typed.on)) or today
    needs = _checked(faults, "needs", lambda: _days(typed.needs))
    due = Due(
        id=due_id,
        name=" ".join(typed.name.split()),
        on=on,
        entered=today,
        needs=DAYS_NEEDED if needs is None else needs,
        amount=" ".join(typed.amount.split()) or None,
    )
    for field, part in _parts(due):
        _checked(faults, field, partial(checked_due, part))
    rule = (typed.repeats or "").strip()
    if rule and not any(fault.field == "on" for fault in faults):
        _checked(faults, "repeats", lambda: _comes(rule, on))
    if faults:
        raise Unfit(faults)
    began = today - ONE_DAY if rule and on < today else None
    return replace(due, repeats=rule or None, settled_through=began)


def _parts(due: Due) -> list[tuple[str, Due]]:
    """The due with only one thing that could be wrong at a time, by its field."""
    plain = replace(due, name="due", needs=DAYS_NEEDED, amount=None)
    return [
        ("name", replace(plain, name=due.name)),
        ("needs", replace(plain, needs=due.needs)),
        ("amount", replace(plain, amount=due.amount)),
    ]


def _checked(faults: list[FieldFault], field: str, read: Callable[[], T]) -> T | None:
    try:
        return read()
    except Malformed as error:
        faults.append(FieldFault(field, str(error)))
        return None


def _date(typed: str) -> date:
    if not typed.strip():
        raise Malformed("When is it due? Give the date, such as 2027-03-14.")
    on = iso_date(typed.strip())
    if on.year not in _YEARS:
        raise Malformed(f"The date lies between the years {_YEARS[0]} and {_YEARS[-1]}, not in {on.year}.")
    return on


def _days(typed: str) -> int:
    text = typed.strip() or str(DAYS_NEEDED)
    days = whole_number(text, _MOST_DAYS)
    if days is None:
        raise Malformed(f"“{text[:20]}” is not a number of days needed before, such as {DAYS_NEEDED}.")
    return days


def _comes(rule: str, on: date) -> None:
    checked_due(Due("", "due", on, on, rule))
    last = min(on + _LOOK_AHEAD, date(_YEARS[-1] + 50, 12, 31))
    if next(dates_of(rule, on, on, last), None) is None:
        raise Malformed(f"{rule} never comes from {on} on. Choose another date or another rule.")


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
    here = where.plan.keys(DUE)
    if len(here) >= MOST:
        raise NotEditable(f"There are {MOST} dues already. Take one off before you write down another.")
    taken = {*here, *(due_id for due_id, _ in book.settled)}
    due_id = next(free_ids(where.today, taken))
    return where.row(DUE, due_id, due_json(read_due(typed, due_id, where.today)))


def change(context: Context, household: str, due_id: str, typed: TypedDue) -> Desk:
    """Change a due. With another date or rule it begins anew; what was settled stays settled.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: There is no such due.
        Unfit: It cannot be kept so.
    """

    def decide(where: Situation) -> Decision[None]:
        old = kept_due(where, due_id)
        rule = old.repeats if typed.repeats is None else typed.repeats
        new = read_due(replace(typed, repeats=rule), due_id, where.today)
        if (new.on, new.repeats) == (old.on, old.repeats):
            new = replace(new, settled_through=old.settled_through)
            new = new if new.needs != old.needs else replace(new, entered=old.entered)
        return to_plan([] if new == old else [where.row(DUE, due_id, due_json(new))])

    return _decided(context, household, decide)


def remove(context: Context, household: str, due_id: str) -> Desk:
    """Take a due off, with all its dates to come.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: There is no such due.
    """

    def decide(where: Situation) -> Decision[None]:
        kept_due(where, due_id)
        return to_plan([where.row(DUE, due_id, None)])

    return _decided(context, household, decide)


def settle(context: Context, household: str, due_id: str, on: date) -> Desk:
    """Say that a date of a due is dealt with; twice is the same as once.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: There is no such due, or it is not due then.
    """

    def decide(where: Situation) -> Decision[None]:
        if where.plan.holds(SETTLED, done_key(on, due_id)):
            return to_plan([])
        book, due = desk_book(where), kept_due(where, due_id)
        if not book.is_open(due, on):
            raise Unknown(f"“{due.name}” is not due on {on}. The desk shows when it is.")
        return to_plan(
            [_done_row(where, due, on), *_after(where, due, on, is_first=book.next_open(due) == on)]
        )

    return _decided(context, household, decide)


def _done_row(where: Situation, due: Due, on: date) -> PlanRow:
    value = {"name": due.name, "settled": where.today.isoformat(), "due": due_json(due)}
    return where.row(SETTLED, done_key(on, due.id), value)


def _after(where: Situation, due: Due, on: date, *, is_first: bool) -> list[PlanRow]:
    """What becomes of a due of which a date is settled: a single one is taken off, others go on."""
    if due.repeats is None:
        return [where.row(DUE, due.id, None)]
    if not is_first:
        return []
    return [where.row(DUE, due.id, due_json(replace(due, settled_through=on)))]


def unsettle(context: Context, household: str, due_id: str, on: date) -> Desk:
    """Say that a date of a due is not dealt with after all; twice is the same as once.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: It was not settled and is not open, or its due has been taken off.
    """

    def decide(where: Situation) -> Decision[None]:
        settled = settled_due(where, due_id, on)
        if settled is None:
            if desk_book(where).is_open(kept_due(where, due_id), on):
                return to_plan([])
            raise Unknown(f"Nothing of that is settled on {on}. It may have been taken back meanwhile.")
        gone = where.row(SETTLED, done_key(on, due_id), None)
        return to_plan([gone, *_reopened(where, settled, on)])

    return _decided(context, household, decide)


def _reopened(where: Situation, settled: Due, on: date) -> list[PlanRow]:
    """What becomes of a due of which a date was settled by mistake."""
    if settled.repeats is None:
        return [where.row(DUE, settled.id, due_json(settled))]
    due = where.plan.read_one(DUE, settled.id, due_of)
    if due is None:
        raise Unknown(f"“{settled.name}” has been taken off. Write it down again if it is still due.")
    if due.settled_through is None or due.settled_through < on:
        return []
    return [where.row(DUE, due.id, due_json(replace(due, settled_through=on - ONE_DAY)))]


def _decided(context: Context, household: str, decide: Callable[[Situation], Decision[None]]) -> Desk:
    return written(context, household, decide, lambda where, _: desk_in(where))
