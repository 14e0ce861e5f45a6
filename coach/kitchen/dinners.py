"""Dinners: one planned for a date as it is typed, kept and shown, and what has left the freezer for it."""

from __future__ import annotations

import json
from dataclasses import dataclass, field, replace
from datetime import date, time, timedelta
from hashlib import sha256
from typing import TYPE_CHECKING, Any

from coach.course.shapes import required, shape
from coach.errors import Malformed, NotEditable, Unknown
from coach.ground.cautions import caution_view
from coach.ground.clock import wall_at, wall_now
from coach.ground.faults import FieldFault, Unfit
from coach.ground.plan_rows import dated_keys
from coach.ground.situation import looking
from coach.ground.wording import full_date, whole_date
from coach.ground.writing import Decision, to_plan, written
from coach.kitchen.answers import DinnerDay, DinnerView
from coach.kitchen.dishes import TypedDish, dish_json, dish_of, read_dish
from coach.kitchen.favourites import kept_dish
from coach.kitchen.offers import dinner_offer
from coach.kitchen.thawing import CAUTION, Kitchen, frozen_views, is_to_leave_by
from coach.progress.days import hour_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator

    from coach.ground.cautions import CautionView
    from coach.ground.plan_rows import PlanRow
    from coach.ground.ports import Context
    from coach.ground.situation import Situation
    from coach.kitchen.answers import FrozenView
    from coach.kitchen.rules.dinner import Dish

KIND = "dinner"
USUAL_TIME = "18:00"
DAYS_AHEAD = 366


_KEPT = shape({"time": str, "left": [(str, None)]})


@dataclass(frozen=True, slots=True)
class TypedDinner:
    """A dinner as typed: the dish and its time of day, HH:MM."""

    dish: TypedDish = field(default_factory=TypedDish)
    time: str = USUAL_TIME


@dataclass(frozen=True, slots=True)
class Planned:
    """A dinner that is planned.

    Attributes:
        left: For each frozen item the date it left the freezer, if it has.
    """

    dish: Dish
    time: time
    left: tuple[date | None, ...]


def read_dinner(typed: TypedDinner) -> tuple[Planned, tuple[FieldFault, ...]]:
    """The dinner that was typed, as far as it can be read, and every fault in it."""
    dish, faults = read_dish(typed.dish)
    try:
        at = hour_of(typed.time.strip() or USUAL_TIME)
    except Malformed as error:
        at, faults = hour_of(USUAL_TIME), (*faults, FieldFault("time", str(error)))
    return just_planned(dish, at), faults


def just_planned(dish: Dish, at: time) -> Planned:
    """A dinner of which nothing has left the freezer yet."""
    return Planned(dish, at, (None,) * len(dish.frozen))


def planned_json(planned: Planned) -> dict[str, Any]:
    """A dinner as the plan keeps it."""
    left = [day and day.isoformat() for day in planned.left]
    return {**dish_json(planned.dish), "time": f"{planned.time:%H:%M}", "left": left}


def planned_of(value: dict[str, Any]) -> Planned:
    """The dinner that the plan keeps."""
    dish = dish_of(value)
    required(value, _KEPT)
    left = tuple(day and date.fromisoformat(day) for day in value["left"])
    if len(left) != len(dish.frozen):
        raise ValueError("There is a date, or none, for each frozen item.")
    return Planned(dish, hour_of(value["time"]), left)


def seen(planned: Planned | None) -> str:
    """Names a dinner as a form shows it: two that look the same in the form have the same name."""
    if planned is None:
        return ""
    shown = {**dish_json(planned.dish), "time": f"{planned.time:%H:%M}"}
    return sha256(json.dumps(shown, sort_keys=True).encode()).hexdigest()[:16]


def with_the_left(planned: Planned, before: Planned | None) -> Planned:
    """The dinner, with what had left the freezer before it was changed and is still part of it."""
    if before is None:
        return planned
    out = [(item, day) for item, day in zip(before.dish.frozen, before.left, strict=True) if day]
    left = []
    for item in planned.dish.frozen:
        match = next((pair for pair in out if pair[0] == item), None)
        if match:
            out.remove(match)
        left.append(match[1] if match else None)
    return Planned(planned.dish, planned.time, tuple(left))


def date_fault(on: date, today: date) -> str | None:
    """Why no dinner can be planned for a date, in one sentence; None if one can."""
    said = whole_date(on)
    if on < today:
        return f"{said} is over, so its dinner can no longer be planned. Choose today or a later date."
    if on > last_date(today):
        return f"{said} is too far ahead. Dinners can be planned for {DAYS_AHEAD} days."
    return None


def last_date(today: date) -> date:
    """The last date a dinner can be planned for."""
    return today + min(timedelta(days=DAYS_AHEAD), date.max - today)


def day(context: Context, household: str, on: date) -> DinnerDay:
    """A date with its dinner.

    Raises:
        NotStarted: The household has not chosen its first step.
    """
    with looking(context, household) as where:
        return day_in(where, on)


def put(context: Context, household: str, on: date, typed: TypedDinner) -> DinnerDay:
    """Plan a date's dinner; one that was planned is replaced.

    Raises:
        NotStarted: The household has not chosen its first step.
        NotEditable: The date is over, or too far ahead.
        Unfit: The dinner cannot be used.
    """
    planned, faults = read_dinner(typed)
    if faults:
        raise Unfit(faults)
    return _put(context, household, on, lambda _: planned)


def put_favourite(
    context: Context, household: str, on: date, favourite: str, time: str = USUAL_TIME
) -> DinnerDay:
    """Put a dish that is kept on a date.

    Raises:
        NotStarted: The household has not chosen its first step.
        NotEditable: The date is over, or too far ahead.
        Unknown: There is no favourite of that id.
        Malformed: The time cannot be read.
    """
    at = hour_of(time.strip() or USUAL_TIME)

    def dinner(where: Situation) -> Planned:
        return just_planned(kept_dish(where, favourite), at)

    return _put(context, household, on, dinner)


def remove(context: Context, household: str, on: date) -> DinnerDay:
    """Plan no dinner for a date; without one nothing changes.

    Raises:
        NotStarted: The household has not chosen its first step.
        NotEditable: The date is over, or too far ahead.
    """

    def decide(where: Situation) -> Decision[None]:
        check_date(where, on)
        found = planned_on(where, on)
        return to_plan([where.row(KIND, on.isoformat(), None)] if found else [])

    return written(context, household, decide, lambda where, _: day_in(where, on))


def leave(context: Context, household: str, on: date, number: int, *, left: bool) -> DinnerDay:
    """Say that a frozen item has left the freezer, or that it has not.

    Args:
        context: Store, lessons and clock.
        household: Its key.
        on: The dinner's date.
        number: The item's place in the dish, from 1.
        left: Whether it has.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: There is no such item.
        NotEditable: The date is over, or it is too early: it would not keep until the dinner.
    """

    def decide(where: Situation) -> Decision[None]:
        check_date(where, on)
        found = planned_on(where, on)
        if found is None or not 1 <= number <= len(found.left):
            raise Unknown(f"The dinner of {full_date(on)} has no frozen item {number}.")
        view = dinner_view(where, on, found).frozen[number - 1]
        if left and view.stage == "early":
            raise NotEditable(f"It would not keep until then. {view.text}")
        if left is (view.left_on is not None):
            return to_plan([])
        out = list(found.left)
        out[number - 1] = wall_now(where.context, where.home).date() if left else None
        return to_plan([dinner_row(where, on, replace(found, left=tuple(out)))])

    return written(context, household, decide, lambda where, _: day_in(where, on))


def check_date(where: Situation, on: date) -> None:
    """Refuse a date that no dinner can be planned for.

    Raises:
        NotEditable: It is over, or too far ahead.
    """
    if fault := date_fault(on, where.today):
        raise NotEditable(fault)


def planned_on(where: Situation, on: date) -> Planned | None:
    """The dinner planned for a date."""
    found = where.plan.read_one(KIND, on.isoformat(), _dated)
    return found and found[1]


def planned_between(where: Situation, first: date, last: date) -> Iterator[tuple[date, Planned]]:
    """The dinners planned for some dates, in their order."""
    yield from where.plan.read(KIND, _dated, *dated_keys(first, last)).values()


def leaving(
    where: Situation, dinners: Iterable[tuple[date, Planned]], first: date, last: date
) -> Iterator[tuple[date, Planned, FrozenView]]:
    """What of some dinners has to leave the freezer on dates, at the latest, and has not; with its dinner."""
    for on, planned in dinners:
        if is_to_leave_by(planned.dish, on, last):
            for item in dinner_view(where, on, planned).frozen:
                if first <= item.refrigerator_by <= last and item.left_on is None:
                    yield on, planned, item


def _dated(key: str, value: dict[str, Any]) -> tuple[date, Planned]:
    return date.fromisoformat(key), planned_of(value)


def dinner_row(where: Situation, on: date, planned: Planned | None) -> PlanRow:
    """The row that plans a date's dinner, or none."""
    return where.row(KIND, on.isoformat(), planned and planned_json(planned))


def day_in(where: Situation, on: date) -> DinnerDay:
    """A date of a plan with its dinner."""
    found = planned_on(where, on)
    return DinnerDay(
        date=on,
        today=on == where.today,
        editable=date_fault(on, where.today) is None,
        seen=seen(found),
        dinner=dinner_view(where, on, found) if found else None,
        caution=caution(where) if found and found.dish.frozen else None,
        offers=dinner_offer(where, on) if found else None,
    )


def dinner_view(where: Situation, on: date, planned: Planned) -> DinnerView:
    """A dinner as pages and JSON show it, with what is frozen as it stands now."""
    at = wall_at(where.home, on, planned.time)
    return DinnerView(
        dish=planned.dish.name,
        time=f"{planned.time:%H:%M}",
        cooking=planned.dish.cooking,
        ingredients=planned.dish.ingredients,
        frozen=frozen_views(planned.dish, at, planned.left, kitchen_of(where)),
    )


def kitchen_of(where: Situation) -> Kitchen:
    """The clock that the household's thawing goes by."""
    return Kitchen(wall_now(where.context, where.home), where.home.zone)


def caution(where: Situation) -> CautionView | None:
    """The caution that stands beside thawing."""
    return caution_view(where.context.library, CAUTION)


def _put(context: Context, household: str, on: date, dinner: Callable[[Situation], Planned]) -> DinnerDay:
    def decide(where: Situation) -> Decision[None]:
        check_date(where, on)
        before = planned_on(where, on)
        planned = with_the_left(dinner(where), before)
        return to_plan([] if planned == before else [dinner_row(where, on, planned)])

    return written(context, household, decide, lambda where, _: day_in(where, on))
