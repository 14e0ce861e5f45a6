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
class Sorting:
    """An area that is sorted out first: its declutter list takes the place of the other until that is done.

    Attributes:
        area: Its id.
        since: The date on which that was chosen.
        done: The ids of the tasks that were done by then in the pass that goes on.
    """

    area: str
    since: date
    done: frozenset[str] = frozenset()

    def is_left(self, tasks: Iterable[DetailTask], last_done: Mapping[str, date]) -> bool:
        """Whether any of the area's declutter tasks is left to do."""
        return any(
            task.id not in self.done and last_done.get(task.id, date.min) < self.since for task in tasks
        )


@dataclass(frozen=True, slots=True)
class Plan:
    """What a household has planned for its areas, from a date on until a newer plan.

    A plan holds for the whole week in which it is made, so that a change shows at once.

    Attributes:
        since: The date it was made on.
        areas: In order; as many as the rotation turns over.
        spot_minutes: The most minutes a spot task takes.
        sorting: The areas that are sorted out first, and those that were.
        given: By need, the number of a turn and the id of the area that has it, whatever the others need.
    """

    since: date
    areas: tuple[Area, ...]
    rotation: Rotation
    way: Way = Way.LIST
    spot_minutes: int = SPOT_MINUTES
    declutter: Declutter | None = None
    sorting: tuple[Sorting, ...] = ()
    given: tuple[int, str] | None = None

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

    def list_of(self, area: Area, number: int, last_done: Mapping[str, date]) -> TaskList:
        """Which of an area's lists is worked on in a turn, after what was done before its week."""
        return TaskList.DECLUTTER if self.is_sorted_out(area, last_done) else self.task_list(number)

    def is_sorted_out(self, area: Area, last_done: Mapping[str, date]) -> bool:
        """Whether an area is being sorted out first, and something of that is left."""
        return any(one.area == area.id and one.is_left(area.declutter, last_done) for one in self.sorting)

    def given_to(self, number: int) -> int | None:
        """The position, from 1, of the area that was given a turn; None if none that is still there was."""
        here = {area.id: position for position, area in enumerate(self.areas, 1)}
        return here.get(self.given[1]) if self.given and self.given[0] == number else None

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
        "sorting": [[one.area, one.since.isoformat(), sorted(one.done)] for one in plan.sorting],
        "given": list(plan.given) if plan.given else None,
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
    values = {**_LATER, **values}
    required(values, _KEPT)
    return Plan(
        since=since,
        areas=tuple(_area(one) for one in values["areas"]),
        rotation=_rotation(values["rotation"], len(values["areas"])),
        way=Way(values["way"]),
        spot_minutes=values["spot_minutes"],
        declutter=Declutter(*values["declutter"]) if values["declutter"] else None,
        sorting=tuple(
            Sorting(area, date.fromisoformat(since), frozenset(done))
            for area, since, done in values["sorting"]
        ),
        given=(values["given"][0], values["given"][1]) if values["given"] else None,
    )


_LATER: dict[str, Any] = {"sorting": [], "given": None}
"""What plans kept by earlier versions do not say, and what that means."""


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
        "sorting": [[str, str, [str]]],
        "given": ([int, str], None),
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
