"""A dinner as the plan keeps it: the dish, the time, and what has left the freezer."""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from datetime import date, time, timedelta
from hashlib import sha256
from typing import TYPE_CHECKING, Any

from coach.errors import Malformed
from coach.ground.faults import FieldFault
from coach.ground.wording import whole_date
from coach.kitchen.dishes import TypedDish, dish_json, dish_of, read_dish
from coach.progress.days import hour_of

if TYPE_CHECKING:
    from coach.kitchen.rules.dinner import Dish

KIND = "dinner"
USUAL_TIME = "18:00"
DAYS_AHEAD = 366


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
    return Planned(dish, at, (None,) * len(dish.frozen)), faults


def planned_json(planned: Planned) -> dict[str, Any]:
    """A dinner as the plan keeps it."""
    left = [day and day.isoformat() for day in planned.left]
    return {**dish_json(planned.dish), "time": f"{planned.time:%H:%M}", "left": left}


def planned_of(value: dict[str, Any]) -> Planned:
    """The dinner that the plan keeps."""
    left = tuple(day and date.fromisoformat(day) for day in value["left"])
    return Planned(dish_of(value), hour_of(value["time"]), left)


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
