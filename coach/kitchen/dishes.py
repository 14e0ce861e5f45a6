"""Dishes as they are typed and as they are kept in the plan, for dinners and favourites."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from coach.course.digits import whole_number
from coach.course.keys import is_blank
from coach.course.keys import text as text_faults
from coach.course.shapes import required, shape
from coach.errors import Malformed
from coach.ground.faults import FieldFault
from coach.kitchen.rules.dinner import (
    COOKING_MINUTES,
    MOST_COOKING,
    Dish,
    FrozenItem,
    Kind,
    Weight,
    weight_of,
)

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

NAME_LENGTH = 120
MOST_INGREDIENTS = 40
INGREDIENT_LENGTH = 100
MOST_FROZEN = 6
WEIGHT_LENGTH = 40


@dataclass(frozen=True, slots=True)
class TypedFrozen:
    """A frozen item as typed; one of which nothing but the kind is filled in is none."""

    name: str = ""
    weight: str = ""
    kind: str = Kind.POULTRY.value

    @property
    def is_blank(self) -> bool:
        """Whether nothing was typed."""
        return is_blank(self.name) and is_blank(self.weight)


@dataclass(frozen=True, slots=True)
class TypedDish:
    """A dish as typed, to be read by `read_dish`.

    Attributes:
        ingredients: One on each line.
        cooking: Minutes.
    """

    name: str = ""
    ingredients: str = ""
    frozen: tuple[TypedFrozen, ...] = ()
    cooking: str = str(COOKING_MINUTES)

    @property
    def is_blank(self) -> bool:
        """Whether no dish is meant."""
        words = self.name + self.ingredients
        return is_blank(words) and all(item.is_blank for item in self.frozen)


def read_dish(typed: TypedDish) -> tuple[Dish, tuple[FieldFault, ...]]:
    """The dish that was typed, as far as it can be read, and every fault in it."""
    faults: list[FieldFault] = []
    name = " ".join(typed.name.split())
    faults += _name_faults("dish", name, "Give the dish a name, such as soup.")
    lines = [line for line in typed.ingredients.splitlines() if not is_blank(line)]
    ingredients = tuple(" ".join(line.split()) for line in lines)
    faults += _ingredient_faults(ingredients)
    frozen = [
        _frozen(number, item, faults) for number, item in enumerate(typed.frozen, 1) if not item.is_blank
    ]
    if len(frozen) > MOST_FROZEN:
        faults.append(FieldFault("frozen", f"A dish has at most {MOST_FROZEN} frozen items."))
    cooking = cooking_minutes(typed.cooking)
    if cooking is None:
        faults.append(FieldFault("cooking", f"The minutes it cooks go from 0 to {MOST_COOKING}."))
    dish = Dish(name, ingredients, tuple(item for item in frozen if item), cooking or 0)
    return dish, tuple(faults)


def cooking_minutes(typed: str) -> int | None:
    """A number of minutes as typed; the usual ones if nothing was, None for what is no such number."""
    return whole_number(typed.strip() or str(COOKING_MINUTES), MOST_COOKING)


def _name_faults(field: str, name: str, missing: str) -> Iterator[FieldFault]:
    if is_blank(name):
        yield FieldFault(field, missing)
    elif len(name) > NAME_LENGTH or any(text_faults(field, name)):
        yield FieldFault(field, f"A name needs up to {NAME_LENGTH} characters that can be shown.")


def _ingredient_faults(lines: Sequence[str]) -> Iterator[FieldFault]:
    if len(lines) > MOST_INGREDIENTS:
        yield FieldFault(
            "ingredients", f"These are {len(lines):,} ingredient lines. Keep it to {MOST_INGREDIENTS}."
        )
    for number, line in enumerate(lines, 1):
        if len(line) > INGREDIENT_LENGTH or any(text_faults("ingredients", line)):
            yield FieldFault(
                "ingredients",
                f"Ingredient line {number} needs up to {INGREDIENT_LENGTH} characters that can be shown.",
            )
            return


def _frozen(number: int, item: TypedFrozen, faults: list[FieldFault]) -> FrozenItem | None:
    """The frozen item, or None with what is wrong added to the faults."""
    place = f"frozen-{number}"
    before = len(faults)
    name = " ".join(item.name.split())
    missing = "Say what is frozen, such as chicken."
    faults += [fault.within(place) for fault in _name_faults("name", name, missing)]
    weight = _weight(place, item, faults)
    if item.kind not in set(Kind):
        faults.append(FieldFault(f"{place}-kind", f"The kind is one of {', '.join(Kind)}."))
    if weight is None or len(faults) > before:
        return None
    return FrozenItem(name, weight, Kind(item.kind))


def _weight(place: str, item: TypedFrozen, faults: list[FieldFault]) -> Weight | None:
    typed = " ".join(item.weight.split())
    try:
        return weight_of(typed[:WEIGHT_LENGTH])
    except Malformed as error:
        missing = "Thawing goes by weight. Give it in kg or lb, such as 1.2 kg or 14 lb."
        faults.append(FieldFault(f"{place}-weight", str(error) if typed else missing))
        return None


_KEPT = shape(
    {
        "dish": str,
        "ingredients": [str],
        "frozen": [{"name": str, "weight": str, "kind": str}],
        "cooking": int,
    }
)


def dish_json(dish: Dish) -> dict[str, Any]:
    """A dish as the plan keeps it."""
    frozen = [
        {"name": item.name, "weight": item.weight.typed, "kind": item.kind.value} for item in dish.frozen
    ]
    return {
        "dish": dish.name,
        "ingredients": list(dish.ingredients),
        "frozen": frozen,
        "cooking": dish.cooking,
    }


def dish_of(value: dict[str, Any]) -> Dish:
    """The dish that the plan keeps; what is none raises what `PlanValues.read` leaves out."""
    required(value, _KEPT)
    frozen = tuple(
        FrozenItem(item["name"], weight_of(item["weight"]), Kind(item["kind"])) for item in value["frozen"]
    )
    return Dish(value["dish"], tuple(value["ingredients"]), frozen, value["cooking"])
