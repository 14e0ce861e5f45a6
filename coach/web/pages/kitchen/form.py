"""The form of a week's dinners: what is sent, and what is shown, with each fault beside its field."""

from __future__ import annotations

import json
import re
from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING

from coach.ground.wording import long_date
from coach.kitchen.dinners import TypedDinner
from coach.kitchen.dishes import MOST_FROZEN, TypedDish, TypedFrozen
from coach.kitchen.planning import Entry
from coach.web.pages.seen import Both, Values
from coach.web.pages.sent import text_in

if TYPE_CHECKING:
    from collections.abc import Mapping

    from starlette.datastructures import FormData

    from coach.ground.faults import FieldFault
    from coach.kitchen.answers import DinnerDay, DinnerView, DinnerWeek, Favourite
    from coach.kitchen.planning import Replanned

KINDS = {
    "poultry": "Poultry",
    "fish": "Fish",
    "ground": "Ground (minced) meat",
    "cut": "Red meat in one piece",
    "other": "Something else",
}
TAKE = "take"
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
        seen=text_in(form, f"{place}-seen") if f"{place}-seen" in form else None,
        favourite=text_in(form, f"{place}-favourite"),
        keep=text_in(form, f"{place}-keep") == "yes",
        take=place in form.getlist(TAKE),
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
    entry = sent or Entry(typed_dinner(day.dinner), day.seen)
    return DayFields(day, entry, dish_fields(place, entry.typed.dish, faults))


def typed_dinner(dinner: DinnerView | None) -> TypedDinner:
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


def dish_values(dish: TypedDish) -> Values:
    """A dish's fields, each text as it is kept."""
    lines = (" ".join(line.split()) for line in dish.ingredients.splitlines())
    frozen = [
        [item.name.strip(), item.weight.strip(), item.kind] for item in dish.frozen if not item.is_blank
    ]
    return {
        "dish": " ".join(dish.name.split()),
        "ingredients": "\n".join(line for line in lines if line),
        "frozen": json.dumps(frozen, ensure_ascii=False) if frozen else "",
        "cooking": dish.cooking.strip(),
    }


def dish_of_values(values: Mapping[str, str]) -> TypedDish:
    """A dish out of its fields."""
    frozen = tuple(TypedFrozen(*row) for row in json.loads(values["frozen"] or "[]"))
    return TypedDish(values["dish"], values["ingredients"], frozen, values["cooking"])


DISH_LABELS = {
    "dish": "Dish",
    "ingredients": "Ingredients",
    "frozen": "From the freezer",
    "cooking": "Minutes it cooks",
}


def dish_words(name: str, text: str) -> str:
    """A field of a dish in words."""
    if name == "frozen" and text:
        return "; ".join(f"{item}, {weight}" for item, weight, _ in json.loads(text))
    return "; ".join(text.splitlines())


def dinner_words(typed: TypedDinner) -> str:
    """A dinner in one line; empty for none."""
    if typed.dish.is_blank:
        return ""
    values = dish_values(typed.dish)
    more = [dish_words(name, values[name]) for name in ("ingredients", "frozen")]
    cooking = f"cooks {values['cooking']} minutes"
    return "; ".join([f"{values['dish']} at {typed.time}", *(text for text in more if text), cooking])


def both_of(replanned: Replanned, entries: Mapping[date, Entry], week: DinnerWeek) -> list[Both]:
    """The dates that two people have planned, side by side."""
    dishes = {one.id: typed_favourite(one) for one in week.favourites}

    def mine(entry: Entry) -> str:
        dish = dishes.get(entry.favourite, entry.typed.dish)
        return dinner_words(replace(entry.typed, dish=dish))

    return [
        Both(on.isoformat(), long_date(on), dinner_words(typed_dinner(day.dinner)), mine(entries[on]))
        for on, day in replanned.days.items()
    ]


def as_replanned(replanned: Replanned, entries: Mapping[date, Entry]) -> dict[date, Entry]:
    """The form as it was typed, for dates that somebody else has planned meanwhile, which are seen now."""
    found = {on: entry for on, entry in entries.items() if not entry.is_untouched}
    for on, day in replanned.days.items():
        entry = entries[on]
        # A favourite stands instead of what the form showed, which is there no more.
        typed = replace(entry.typed, dish=TypedDish()) if entry.favourite else entry.typed
        found[on] = replace(entry, typed=typed, seen=day.seen, take=False)
    return found
