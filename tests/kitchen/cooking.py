"""A household's kitchen in few words: dinners on days counted from 1, which is Monday 4 January 2027."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from coach.ground.situation import situation
from coach.kitchen import dinners as dinner
from coach.kitchen.dinners import TypedDinner
from coach.kitchen.dishes import TypedDish, TypedFrozen
from habits.house import HOME, House
from progress.living import on

if TYPE_CHECKING:
    from coach.ground.plan_rows import PlanRow
    from coach.kitchen.answers import DinnerDay, FrozenView
    from coach.kitchen.dinners import Planned


def dish(name: str, *frozen: tuple[str, str, str], ingredients: str = "", cooking: str = "60") -> TypedDish:
    """A dish as typed; each frozen item is a name, a weight and a kind."""
    return TypedDish(name, ingredients, tuple(TypedFrozen(*item) for item in frozen), cooking)


def a_dinner(
    name: str, *frozen: tuple[str, str, str], at: str = "18:00", ingredients: str = "", cooking: str = "60"
) -> TypedDinner:
    """A dinner as typed."""
    return TypedDinner(dish(name, *frozen, ingredients=ingredients, cooking=cooking), at)


def plan(house: House, day: int, typed: TypedDinner) -> DinnerDay:
    """Plan a day's dinner."""
    return dinner.put(house.context, HOME, on(day), typed)


def frozen(house: House, day: int) -> tuple[FrozenView, ...]:
    """What is frozen of a day's dinner, as it stands now."""
    found = dinner.day(house.context, HOME, on(day)).dinner
    return found.frozen if found else ()


def dish_on(house: House, day: int) -> str | None:
    """The dish of a day."""
    found = dinner.day(house.context, HOME, on(day)).dinner
    return found.dish if found else None


def written(house: House, what: str) -> list[PlanRow]:
    """Every row of a kind ever written."""
    with house.store.reading(HOME) as reading:
        return [row for row in reading.home.plan if row.what == what]


def planned_dinners(house: House) -> list[tuple[date, Planned]]:
    """Every dinner that is planned, in the order of the dates."""
    with house.store.reading(HOME) as reading:
        return list(dinner.planned_between(situation(house.context, reading), date.min, date.max))
