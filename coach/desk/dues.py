"""Dues: read as they are typed, written down, changed, seen to, and taken off."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, time, timedelta
from functools import partial
from typing import TYPE_CHECKING, TypeVar

from coach.course.digits import whole_number
from coach.desk.book import DUE, SEEN_TO, desk_book, done_key, due_json, due_of, due_seen_to, kept_due
from coach.desk.overview import desk_in
from coach.desk.rules.dues import DAYS_NEEDED, Due, checked_due
from coach.desk.rules.repeating import dates_of
from coach.errors import Malformed, NotEditable, Unknown
from coach.ground.faults import FieldFault, Unfit
from coach.ground.ids import free_ids
from coach.ground.wording import full_date
from coach.ground.writing import Decision, to_plan, written
from coach.progress.days import ONE_DAY, hour_of, iso_date

if TYPE_CHECKING:
    from collections.abc import Callable

    from coach.desk.answers import Desk
    from coach.ground.plan_rows import PlanRow
    from coach.ground.ports import Context
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
        needs: Days needed before; empty for the usual ones, or for none with a time.
        time: HH:MM by the household's clock, or empty.
    """

    name: str = ""
    on: str = ""
    repeats: str | None = ""
    needs: str = ""
    amount: str = ""
    time: str = ""


def read_due(typed: TypedDue, due_id: str, today: date) -> Due:
    """The due that was typed.

    What repeats and began before today is owed from today on: what came before is taken as seen to.

    Raises:
        Unfit: It cannot be kept; every fault stands beside its field.
    """
    faults: list[FieldFault] = []
    on = _checked(faults, "on", lambda: _date(typed.on)) or today
    at = _checked(faults, "time", lambda: _time(typed.time))
    usual = 0 if typed.time.strip() else DAYS_NEEDED
    needs = _checked(faults, "needs", lambda: _days(typed.needs, usual))
    due = Due(
        id=due_id,
        name=" ".join(typed.name.split()),
        on=on,
        entered=today,
        needs=usual if needs is None else needs,
        amount=" ".join(typed.amount.split()) or None,
        at=at,
    )
    for field, part in _parts(due):
        _checked(faults, field, partial(checked_due, part))
    rule = (typed.repeats or "").strip()
    if rule and not any(fault.field == "on" for fault in faults):
        _checked(faults, "repeats", lambda: _comes(rule, on))
    if faults:
        raise Unfit(faults)
    began = today - ONE_DAY if rule and on < today else None
    return replace(due, repeats=rule or None, seen_to_through=began)


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


def _time(typed: str) -> time | None:
    return hour_of(typed.strip()) if typed.strip() else None


def _days(typed: str, usual: int) -> int:
    text = typed.strip() or str(usual)
    days = whole_number(text, _MOST_DAYS)
    if days is None:
        raise Malformed(f"“{text[:20]}” is not a number of days needed before, such as {DAYS_NEEDED}.")
    return days


def _comes(rule: str, on: date) -> None:
    checked_due(Due("", "due", on, on, rule))
    last = min(on + _LOOK_AHEAD, date(_YEARS[-1] + 50, 12, 31))
    if next(dates_of(rule, on, on, last), None) is None:
        raise Malformed(f"{rule} never comes from {full_date(on)} on. Choose another date or another rule.")


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
    taken = {*here, *(due_id for due_id, _ in book.seen_to)}
    due_id = next(free_ids(where.today, taken))
    return where.row(DUE, due_id, due_json(read_due(typed, due_id, where.today)))


def change(context: Context, household: str, due_id: str, typed: TypedDue) -> Desk:
    """Change a due. With another date or rule it begins anew; what was seen to stays so.

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
            new = replace(new, seen_to_through=old.seen_to_through)
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


def see_to(context: Context, household: str, due_id: str, on: date) -> Desk:
    """Say that a date of a due is seen to; twice is the same as once.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: There is no such due, or it is not due then.
    """
    return _decided(context, household, lambda where: to_plan(seen_to_rows(where, due_id, on)))


def seen_to_rows(where: Situation, due_id: str, on: date) -> list[PlanRow]:
    """What is written for a date of a due that is seen to; nothing where it is already.

    Raises:
        Unknown: There is no such due, or it is not due then.
    """
    if where.plan.holds(SEEN_TO, done_key(on, due_id)):
        return []
    book, due = desk_book(where), kept_due(where, due_id)
    if not book.is_open(due, on):
        raise Unknown(f"“{due.name}” is not due on {full_date(on)}. The desk shows when it is.")
    return [_done_row(where, due, on), *_after(where, due, on, is_first=book.next_open(due) == on)]


def _done_row(where: Situation, due: Due, on: date) -> PlanRow:
    # Rows written since the first version say `settled`, so that stays the word of the rows.
    value = {"name": due.name, "settled": where.today.isoformat(), "due": due_json(due)}
    return where.row(SEEN_TO, done_key(on, due.id), value)


def _after(where: Situation, due: Due, on: date, *, is_first: bool) -> list[PlanRow]:
    """What becomes of a due of which a date is seen to: a single one is taken off, others go on."""
    if due.repeats is None:
        return [where.row(DUE, due.id, None)]
    if not is_first:
        return []
    return [where.row(DUE, due.id, due_json(replace(due, seen_to_through=on)))]


def reopen(context: Context, household: str, due_id: str, on: date) -> Desk:
    """Say that a date of a due is not seen to after all; twice is the same as once.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: It was not seen to and is not open, or its due has been taken off.
    """

    def decide(where: Situation) -> Decision[None]:
        was = due_seen_to(where, due_id, on)
        if was is None:
            if desk_book(where).is_open(kept_due(where, due_id), on):
                return to_plan([])
            raise Unknown(
                f"Nothing of that was seen to on {full_date(on)}. It may have been taken back meanwhile."
            )
        gone = where.row(SEEN_TO, done_key(on, due_id), None)
        return to_plan([gone, *_reopened(where, was, on)])

    return _decided(context, household, decide)


def _reopened(where: Situation, was: Due, on: date) -> list[PlanRow]:
    """What becomes of a due of which a date was seen to by mistake."""
    if was.repeats is None:
        return [where.row(DUE, was.id, due_json(was))]
    due = where.plan.read_one(DUE, was.id, due_of)
    if due is None:
        raise Unknown(f"“{was.name}” has been taken off. Write it down again if it is still due.")
    if due.seen_to_through is None or due.seen_to_through < on:
        return []
    return [where.row(DUE, due.id, due_json(replace(due, seen_to_through=on - ONE_DAY)))]


def _decided(context: Context, household: str, decide: Callable[[Situation], Decision[None]]) -> Desk:
    return written(context, household, decide, lambda where, _: desk_in(where))
