"""The form of a week's dinners: what is sent, and what is shown, with each fault beside its field."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from coach.kitchen.dinners import TypedDinner
from coach.kitchen.dishes import MOST_FROZEN, TypedDish, TypedFrozen
from coach.kitchen.planning import Entry
from coach.web.pages.sent import text_in

if TYPE_CHECKING:
    from collections.abc import Mapping

    from starlette.datastructures import FormData

    from coach.ground.faults import FieldFault
    from coach.kitchen.answers import DinnerDay, DinnerView, DinnerWeek, Favourite

KINDS = {
    "poultry": "Poultry",
    "fish": "Fish",
    "ground": "Ground (minced) meat",
    "cut": "Red meat in one piece",
    "other": "Something else",
}
_DATED = re.compile(r"([0-9]{4}-[0-9]{2}-[0-9]{2})-dish")


@dataclass(frozen=True, slots=True)
class Fields:
    """A dish's fields as a page shows them.

    Attributes:
        place: What the names of the fields begin with.
        frozen: One row more than is filled in.
        faults: What is wrong, by the field's name without its place.
    """

    place: str
    dish: TypedDish
    frozen: tuple[TypedFrozen, ...]
    faults: Mapping[str, str]

    @property
    def has_inner_fault(self) -> bool:
        """Whether something is wrong that is folded away."""
        return bool(set(self.faults) - {"dish", "favourite"})


@dataclass(frozen=True, slots=True)
class DayFields:
    """One date of the form.

    Attributes:
        entry: What stands in it.
    """

    day: DinnerDay
    entry: Entry
    fields: Fields


def entries_in(form: FormData) -> dict[date, Entry]:
    """The dates of a form that was sent."""
    found: dict[date, Entry] = {}
    for name in form:
        match = _DATED.fullmatch(name)
        if match is None:
            continue
        try:
            on = date.fromisoformat(match[1])
        except ValueError:
            continue
        found[on] = _entry(form, match[1])
    return found


def _entry(form: FormData, place: str) -> Entry:
    dinner = TypedDinner(dish_in(form, place), text_in(form, f"{place}-time"))
    return Entry(
        typed=dinner,
        seen=text_in(form, f"{place}-seen"),
        favourite=text_in(form, f"{place}-favourite"),
        keep=text_in(form, f"{place}-keep") == "yes",
    )


def dish_in(form: FormData, place: str) -> TypedDish:
    """A dish of a form that was sent."""
    frozen = tuple(
        TypedFrozen(
            text_in(form, f"{place}-frozen-{number}-name"),
            text_in(form, f"{place}-frozen-{number}-weight"),
            text_in(form, f"{place}-frozen-{number}-kind") or "poultry",
        )
        for number in range(1, MOST_FROZEN + 1)
    )
    return TypedDish(
        text_in(form, f"{place}-dish"),
        text_in(form, f"{place}-ingredients"),
        frozen,
        text_in(form, f"{place}-cooking"),
    )


def dish_fields(place: str, dish: TypedDish, faults: tuple[FieldFault, ...] = ()) -> Fields:
    """A dish's fields with the faults that belong to them."""
    start = f"{place}-"
    own = {fault.field.removeprefix(start): fault.reason for fault in faults if fault.field.startswith(start)}
    return Fields(place, dish, _rows(dish.frozen), own)


def _rows(frozen: tuple[TypedFrozen, ...]) -> tuple[TypedFrozen, ...]:
    """The rows to show: as far as they are filled in, and an empty one."""
    filled = max((number for number, item in enumerate(frozen, 1) if not item.is_blank), default=0)
    return (*frozen[:filled], TypedFrozen())[:MOST_FROZEN]


def week_fields(
    week: DinnerWeek, sent: Mapping[date, Entry], faults: tuple[FieldFault, ...]
) -> list[DayFields | DinnerDay]:
    """The week as a form: what was sent, or what is planned; days that are over are only read."""
    return [_day_fields(day, sent.get(day.date), faults) for day in week.days]


def _day_fields(day: DinnerDay, sent: Entry | None, faults: tuple[FieldFault, ...]) -> DayFields | DinnerDay:
    place = day.date.isoformat()
    own = any(fault.field.startswith(f"{place}-") for fault in faults)
    if not day.editable and not own:
        return day
    entry = sent or Entry(_typed(day.dinner), day.seen)
    return DayFields(day, entry, dish_fields(place, entry.typed.dish, faults))


def _typed(dinner: DinnerView | None) -> TypedDinner:
    """A dinner as one would type it."""
    if dinner is None:
        return TypedDinner()
    frozen = tuple(TypedFrozen(item.name, item.weight, item.kind) for item in dinner.frozen)
    dish = TypedDish(dinner.dish, "\n".join(dinner.ingredients), frozen, str(dinner.cooking))
    return TypedDinner(dish, dinner.time)


def typed_favourite(favourite: Favourite) -> TypedDish:
    """A favourite as one would type it."""
    frozen = tuple(TypedFrozen(item.name, item.weight, item.kind) for item in favourite.frozen)
    return TypedDish(favourite.dish, "\n".join(favourite.ingredients), frozen, str(favourite.cooking))
