"""The plan of a home from a date on: its areas and how they are worked in, also as JSON (home rules)."""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import TYPE_CHECKING, Any

from coach.areas.rules.model import Area, DetailTask, TaskList
from coach.areas.rules.rotation import MOST_MINUTES, Mode, Rotation
from coach.course.shapes import required, shape
from coach.errors import Malformed
from coach.ground.weeks import WeekStart, last_day

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

SPOT_MINUTES = 10
MOST_DECLUTTER_WEEKS = 520


class Way(StrEnum):
    """How a household works in its area: the week's list, one short task a day, or both."""

    LIST = "list"
    SPOT = "spot"
    BOTH = "both"


@dataclass(frozen=True, slots=True)
class Declutter:
    """The turns in which declutter lists take the place of the detail lists.

    Attributes:
        first: The number of the first of these turns.
        turns: How many they are. A week that does not count uses none of them up.
    """

    first: int
    turns: int

    def __post_init__(self) -> None:
        """Refuse a number of weeks nobody means."""
        if not 1 <= self.turns <= MOST_DECLUTTER_WEEKS:
            raise Malformed(f"Declutter weeks go from 1 to {MOST_DECLUTTER_WEEKS}, not {self.turns}.")

    def covers(self, number: int) -> bool:
        """Whether a turn is one of them."""
        return self.first <= number < self.first + self.turns


@dataclass(frozen=True, slots=True)
class Plan:
    """What a household has planned for its areas, from a date on until a newer plan.

    A plan holds for the whole week in which it is made, so that a change shows at once.

    Attributes:
        since: The date it was made on.
        areas: In order; as many as the rotation turns over.
        spot_minutes: The most minutes a spot task takes.
    """

    since: date
    areas: tuple[Area, ...]
    rotation: Rotation
    way: Way = Way.LIST
    spot_minutes: int = SPOT_MINUTES
    declutter: Declutter | None = None

    def __post_init__(self) -> None:
        """Refuse a plan whose parts do not fit together."""
        if len(self.areas) != self.rotation.areas:
            raise Malformed(
                f"The rotation is for {self.rotation.areas} areas, and there are {len(self.areas)}."
            )
        if not 1 <= self.spot_minutes <= MOST_MINUTES:
            raise Malformed(f"A spot task takes 1 to {MOST_MINUTES} minutes, not {self.spot_minutes}.")

    def task_list(self, number: int) -> TaskList:
        """Which lists are worked on in a turn."""
        cluttered = self.declutter is not None and self.declutter.covers(number)
        return TaskList.DECLUTTER if cluttered else TaskList.DETAIL

    def offered_minutes(self) -> int:
        """The most minutes a task may take to be offered at all: with spot tasks only, the short ones are."""
        return self.spot_minutes if self.way is Way.SPOT else MOST_MINUTES


def plan_for(plans: Sequence[Plan], first_day: date) -> Plan:
    """The plan that holds for a week: the latest made by its end.

    Args:
        plans: At least one, by the date they were made on; of the same date the later one holds.
        first_day: The first day of the week; before the first plan's week the first one holds.
    """
    made = bisect_right(plans, last_day(first_day), key=lambda plan: plan.since)
    return plans[max(0, made - 1)]


def plan_values(plan: Plan) -> dict[str, Any]:
    """The plan as values for JSON, all but `since`, which stands beside it where it is kept."""
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
        "suggestions": _task_values(area.suggestions),
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
    """The plan that `plan_values` wrote, made on a date; what it did not write raises one of `UNREADABLE`."""
    required(values, _KEPT)
    return Plan(
        since=since,
        areas=tuple(_area(one) for one in values["areas"]),
        rotation=_rotation(values["rotation"], len(values["areas"])),
        way=Way(values["way"]),
        spot_minutes=values["spot_minutes"],
        declutter=Declutter(*values["declutter"]) if values["declutter"] else None,
    )


_TASK = [str, str, int, (int, None), (str, None), (str, None)]
_TASKS = shape([_TASK])
_KEPT = shape(
    {
        "areas": [{"id": str, "name": str, "rooms": [str], "detail": [_TASK], "declutter": [_TASK]}],
        "rotation": {
            "start": str,
            "mode": str,
            "starts": str,
            "first": int,
            "minutes_a_week": int,
            "skipped": [int],
            "swapped": [[int, int]],
        },
        "way": str,
        "spot_minutes": int,
        "declutter": ([int, int], None),
    }
)


def _area(values: Mapping[str, Any]) -> Area:
    return Area(
        id=values["id"],
        name=values["name"],
        rooms=tuple(values["rooms"]),
        detail=tuple(DetailTask(*task) for task in values["detail"]),
        declutter=tuple(DetailTask(*task) for task in values["declutter"]),
        suggestions=tuple(DetailTask(*task) for task in _suggestions(values)),
    )


def _suggestions(values: Mapping[str, Any]) -> list[Any]:
    """An area that was kept before there were suggestions has none."""
    found = values.get("suggestions", [])
    required(found, _TASKS)
    return list(found)


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
