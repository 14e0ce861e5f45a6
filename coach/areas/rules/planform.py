"""A plan of the areas as JSON values, as it is kept; the date it was made on stands beside it."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any

from coach.areas.rules.model import Area, DetailTask
from coach.areas.rules.plan import Declutter, Plan, Way
from coach.areas.rules.rotation import Mode, Rotation
from coach.ground.weeks import WeekStart

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping


def plan_values(plan: Plan) -> dict[str, Any]:
    """The plan as values for JSON, all but `since`."""
    return {
        "areas": [_area_values(area) for area in plan.areas],
        "rotation": _rotation_values(plan.rotation),
        "way": plan.way.value,
        "spot_minutes": plan.spot_minutes,
        "declutter": [plan.declutter.first, plan.declutter.turns] if plan.declutter else None,
    }


def _area_values(area: Area) -> dict[str, Any]:
    return {
        "id": area.id,
        "name": area.name,
        "rooms": list(area.rooms),
        "detail": _task_values(area.detail),
        "declutter": _task_values(area.declutter),
    }


def _task_values(tasks: Iterable[DetailTask]) -> list[list[Any]]:
    """Tasks as short lists: a home may have hundreds, and every change keeps them all."""
    return [[task.id, task.title, task.minutes, task.every_days, task.caution, task.source] for task in tasks]


def _rotation_values(rotation: Rotation) -> dict[str, Any]:
    return {
        "start": rotation.start.isoformat(),
        "mode": rotation.mode.value,
        "starts": rotation.starts.value,
        "first": rotation.first,
        "minutes_a_week": rotation.minutes_a_week,
        "skipped": sorted(rotation.skipped),
        "swapped": [list(pair) for pair in rotation.swapped],
    }


def plan_from_values(values: Mapping[str, Any], since: date) -> Plan:
    """The plan that `plan_values` wrote, made on a date."""
    return Plan(
        since=since,
        areas=tuple(_area(one) for one in values["areas"]),
        rotation=_rotation(values["rotation"], len(values["areas"])),
        way=Way(values["way"]),
        spot_minutes=values["spot_minutes"],
        declutter=Declutter(*values["declutter"]) if values["declutter"] else None,
    )


def _area(values: Mapping[str, Any]) -> Area:
    return Area(
        id=values["id"],
        name=values["name"],
        rooms=tuple(values["rooms"]),
        detail=tuple(DetailTask(*task) for task in values["detail"]),
        declutter=tuple(DetailTask(*task) for task in values["declutter"]),
    )


def _rotation(values: Mapping[str, Any], areas: int) -> Rotation:
    return Rotation(
        areas=areas,
        start=date.fromisoformat(values["start"]),
        mode=Mode(values["mode"]),
        starts=WeekStart(values["starts"]),
        first=values["first"],
        minutes_a_week=values["minutes_a_week"],
        skipped=frozenset(values["skipped"]),
        swapped=tuple((one, other) for one, other in values["swapped"]),
    )
