"""A household that goes on for long enough to be forecast, and the rows it keeps of that."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from coach.ground.plan_rows import Asked, PlanRow
from coach.habits import day as service
from coach.habits.forecast_record import FORECAST
from habits.house import HOME, House
from progress.living import a_course, a_step, on

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import date

    from coach.habits.forecast_answers import Span

LONG = a_course(
    *(a_step(name, settles={"kept": 6, "of": 9}) for name in ("bed", "cups", "lamp", "door")),
    paces={"standard": 0, "gentle": 2},
)
"""Four steps, one after the other, each for six days at least."""


def misses_every(days: int) -> Callable[[int], bool]:
    """Whether a day is kept, where every so many one is not."""
    return lambda day: day % days != 0


def often(day: int) -> bool:
    """Whether a day is kept, where every fourth one is not."""
    return day % 4 != 0


def lived(last: int, kept: Callable[[int], bool] = often, house: House | None = None) -> House:
    """A house in which every line of each day up to one is marked; it is the day after."""
    house = house or House(LONG).begun("bed")
    first = (house.today - on(1)).days + 1
    for day in range(first, last + 1):
        house.at(day)
        for line in service.today(house.context, HOME).checklist:
            house.mark(day, line.step, "kept" if kept(day) else "missed")
    return house.at(last + 1)


def dates(span: Span) -> tuple[date, date, date, date]:
    """A forecast's dates: first, median, likely and last."""
    found = span.from_, span.median, span.likely, span.to
    first, median, likely, last = (on for on in found if on is not None)
    return first, median, likely, last


def held(house: House) -> dict[str, Any]:
    """The forecasts that are written down, by the number of their day."""
    with house.store.reading(HOME) as reading:
        [found] = reading.plans([Asked(FORECAST)])
    return {key: json.loads(value) for key, value in found}


def put(house: House, day: int, value: object) -> None:
    """Write a forecast of a day down by hand."""
    with house.store.writing(HOME) as writing:
        writing.put_plan([PlanRow(on(day), FORECAST, f"{on(day)}", json.dumps(value))], house.now)


def spanning(first: int, last: int, *steps: str) -> dict[str, Any]:
    """A forecast as it is kept, from a day to a day, about some steps."""
    return {"from": f"{on(first)}", "to": f"{on(last)}", "steps": list(steps)}
