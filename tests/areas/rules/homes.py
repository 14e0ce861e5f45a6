"""Small invented homes for the tests of the home plan: Tern Street, a flat over two floors."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any

from coach.areas.rules.model import Area, DetailTask
from coach.areas.rules.plan import Plan
from coach.areas.rules.rotation import Rotation

if TYPE_CHECKING:
    from collections.abc import Iterable

MONDAY = date(2027, 1, 4)


def day(text: str) -> date:
    return date.fromisoformat(text)


def task(task_id: str, minutes: int = 10, every_days: int | None = None) -> DetailTask:
    return DetailTask(task_id, f"Task {task_id}", minutes, every_days)


def area(area_id: str, *detail: DetailTask, declutter: tuple[DetailTask, ...] = ()) -> Area:
    return Area(area_id, area_id.title(), (f"{area_id} room",), detail, declutter)


def kitchen() -> Area:
    """An hour and a half of tasks: two visits of an hour."""
    return area("kitchen", task("oven", 40), task("tiles", 20), task("bin", 10), task("shelf", 20))


def tern_street() -> tuple[Area, ...]:
    """Three areas: kitchen 90 minutes, bath 30, stairs 25."""
    return (
        kitchen(),
        area(
            "bath", task("grout", 20), task("drain", 10), declutter=(task("bottles", 15), task("towels", 50))
        ),
        area("stairs", task("rail", 5), task("treads", 20)),
    )


def plan(*areas: Area, rotation: Rotation | None = None) -> Plan:
    """A plan from the first Monday of 2027 on, continuous unless said otherwise."""
    chosen = areas or tern_street()
    return Plan(MONDAY, chosen, rotation or hourly(len(chosen), MONDAY))


def hourly(areas: int, start: date, *others: Any, **named: Any) -> Rotation:  # noqa: ANN401  as a rotation takes them
    """A rotation of an hour a week unless other minutes are named."""
    return Rotation(areas, start, *others, **{"minutes_a_week": 60, **named})


def ids(tasks: Iterable[Any]) -> list[str]:
    """The ids of steps, of tasks, or of tasks left in a pass."""
    return [getattr(one, "task", one).id for one in tasks]
