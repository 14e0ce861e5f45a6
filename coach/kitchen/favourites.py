"""Dishes that are kept, to be put on any date."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

from coach.course.slugs import free_slug
from coach.errors import NotEditable, Unknown
from coach.ground.faults import Unfit
from coach.ground.situation import looking
from coach.ground.writing import Decision, to_plan, written
from coach.kitchen.answers import Favourite, Favourites, FrozenLine
from coach.kitchen.dishes import dish_json, dish_of, read_dish

if TYPE_CHECKING:
    from coach.ground.plan_rows import PlanRow
    from coach.ground.ports import Context
    from coach.ground.situation import Situation
    from coach.kitchen.dishes import TypedDish
    from coach.kitchen.rules.dinner import Dish

KIND = "favourite"
MOST = 200
_ID = re.compile(r"[a-z0-9-]{1,80}")


def favourites(context: Context, household: str) -> Favourites:
    """All of them, by name.

    Raises:
        NotStarted: The household has not chosen its first step.
    """
    with looking(context, household) as where:
        return favourites_in(where)


def favourites_in(where: Situation) -> Favourites:
    """All of them, out of a situation."""
    return Favourites(kept(where))


def favourite_in(where: Situation, favourite: str) -> Favourite:
    """One of them, out of a situation.

    Raises:
        Unknown: There is no favourite of that id.
    """
    value = where.value(KIND, favourite) if _ID.fullmatch(favourite) else None
    if value is None:
        raise _unknown(favourite)
    return _view(favourite, value)


def keep(
    context: Context, household: str, typed: TypedDish, favourite: str | None = None
) -> tuple[Favourite, Favourites]:
    """Keep a dish, or change one that is kept; a new one of the same name takes the old one's place.

    Args:
        context: Store, lessons and clock.
        household: Its key.
        typed: The dish.
        favourite: The id of the one to change; none for a new one.

    Returns:
        It, and all of them.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: There is no favourite of that id.
        Unfit: The dish cannot be used.
        NotEditable: There are too many.
    """
    dish, faults = read_dish(typed)
    if faults:
        raise Unfit(faults)

    def decide(where: Situation) -> Decision[str]:
        if favourite is not None and not where.plan.holds(KIND, favourite):
            raise _unknown(favourite)
        row = kept_row(where, known_names(where), dish, favourite)
        return to_plan([row], row.key)

    return written(context, household, decide, _one_of_all)


def _one_of_all(where: Situation, favourite: str) -> tuple[Favourite, Favourites]:
    found = favourites_in(where)
    return next(one for one in found.favourites if one.id == favourite), found


def drop(context: Context, household: str, favourite: str) -> Favourites:
    """Keep a dish no longer; dinners that came from it stay as they are.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: There is no favourite of that id.
    """

    def decide(where: Situation) -> Decision[None]:
        if not where.plan.holds(KIND, favourite):
            raise _unknown(favourite)
        return to_plan([where.row(KIND, favourite, None)])

    return written(context, household, decide, lambda where, _: favourites_in(where))


def kept(where: Situation) -> tuple[Favourite, ...]:
    """The favourites of a plan, by name."""
    found = where.plan.read(KIND, _view)
    return tuple(sorted(found.values(), key=lambda one: (one.dish.casefold(), one.id)))


def kept_dish(where: Situation, favourite: str) -> Dish:
    """The dish of a favourite.

    Raises:
        Unknown: There is no favourite of that id.
    """
    dish = where.plan.read_one(KIND, favourite, _dish) if _ID.fullmatch(favourite) else None
    if dish is None:
        raise _unknown(favourite)
    return dish


def known_names(where: Situation) -> dict[str, str]:
    """The names of the favourites by id; blank for one that cannot be read, whose id stays taken."""
    names = {key: one.dish for key, one in where.plan.read(KIND, _view).items()}
    return dict.fromkeys(where.plan.keys(KIND), "") | names


def kept_row(where: Situation, known: dict[str, str], dish: Dish, favourite: str | None = None) -> PlanRow:
    """The row that keeps a dish under its id, that of one with the same name, or a new one.

    Args:
        where: The household.
        known: The names of the favourites by id.
        dish: The dish.
        favourite: The id of the one to change; none for a new one.

    Raises:
        NotEditable: There are too many.
    """
    same = (key for key, name in known.items() if name.casefold() == dish.name.casefold())
    key = favourite or next(same, None)
    if key is None:
        if len(known) >= MOST:
            raise NotEditable(f"There are {MOST} favourites already. Take one off before you keep another.")
        key = free_slug(dish.name, known, "dish")
    return where.row(KIND, key, dish_json(dish))


def _dish(_key: str, value: dict[str, Any]) -> Dish:
    return dish_of(value)


def _view(key: str, value: dict[str, Any]) -> Favourite:
    dish_of(value)
    frozen = tuple(FrozenLine(item["name"], item["weight"], item["kind"]) for item in value["frozen"])
    return Favourite(key, value["dish"], value["cooking"], tuple(value["ingredients"]), frozen)


def _unknown(favourite: str) -> Unknown:
    return Unknown(f"There is no favourite “{favourite[:60]}”. It may have been taken off meanwhile.")
