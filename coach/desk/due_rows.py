"""Dues as they are typed and as the plan keeps them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import partial
from typing import TYPE_CHECKING, Any, TypeVar

from coach.course.digits import whole_number
from coach.desk.answers import DueView
from coach.desk.repeats import repeats_text
from coach.desk.rules.dues import DAYS_NEEDED, Due, checked_due
from coach.desk.rules.repeating import dates_of
from coach.errors import Malformed
from coach.ground.faults import FieldFault, Unfit
from coach.progress.days import ONE_DAY, iso_date

if TYPE_CHECKING:
    from collections.abc import Callable

KIND = "due"
DONE = "due-done"
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
        repeats: RFC 5545 rule; empty for a single date.
        needs: Days needed before; empty for the usual ones.
    """

    name: str = ""
    on: str = ""
    repeats: str = ""
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
    rule = typed.repeats.strip()
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


def due_json(due: Due) -> dict[str, Any]:
    """A due as the plan keeps it, under its id."""
    return {
        "name": due.name,
        "on": due.on.isoformat(),
        "entered": due.entered.isoformat(),
        "repeats": due.repeats,
        "needs": due.needs,
        "amount": due.amount,
        "settled_through": due.settled_through and due.settled_through.isoformat(),
    }


def due_of(due_id: str, value: dict[str, Any]) -> Due:
    """The due that the plan keeps."""
    through = value["settled_through"]
    return Due(
        id=due_id,
        name=value["name"],
        on=date.fromisoformat(value["on"]),
        entered=date.fromisoformat(value["entered"]),
        repeats=value["repeats"],
        needs=value["needs"],
        amount=value["amount"],
        settled_through=through and date.fromisoformat(through),
    )


def due_view(due: Due) -> DueView:
    """The due as pages and JSON show it."""
    return DueView(
        due.id, due.name, due.on, due.repeats, repeats_text(due.repeats, due.on), due.needs, due.amount
    )
