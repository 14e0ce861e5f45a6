"""The division of a home, changed: every function takes the areas in order and gives them anew.

What comes out has passed `checked`; what cannot be done raises `Malformed`, an id nobody has `Unknown`.
Positions are places in an order, counted from 0; one beyond the end means the end.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import chain
from typing import TYPE_CHECKING, TypeVar

from coach.areas.rules.model import TaskList, all_tasks, checked, place_of, position_of
from coach.course.digits import whole_number
from coach.errors import Malformed, Unknown

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence

    from coach.areas.rules.model import Area, DetailTask, Divided

    Tasks = tuple[DetailTask, ...]

T = TypeVar("T")

MOST_NUMBER = 10**9
"""No task has a greater number in its id."""


def add(areas: Divided, area: Area, position: int | None = None) -> Divided:
    """Add an area, last unless a position is given."""
    return checked(_inserted(areas, area, position))


def remove(areas: Divided, area_id: str) -> Divided:
    """Take an area out, with its tasks."""
    place = position_of(areas, area_id)
    return checked(areas[:place] + areas[place + 1 :])


def rename(areas: Divided, area_id: str, name: str) -> Divided:
    """Give an area another name."""
    area = areas[position_of(areas, area_id)]
    return _with(areas, replace(area, name=name.strip()))


def set_rooms(areas: Divided, area_id: str, rooms: Sequence[str]) -> Divided:
    """Say which rooms belong to an area."""
    area = areas[position_of(areas, area_id)]
    return _with(areas, replace(area, rooms=tuple(room.strip() for room in rooms)))


def reorder(areas: Divided, area_ids: Sequence[str]) -> Divided:
    """Put the areas into another order; every id is named once."""
    if sorted(area_ids) != sorted(area.id for area in areas):
        raise Malformed("A new order names every area once, and no other.")
    return checked(areas[position_of(areas, area_id)] for area_id in area_ids)


def merge(areas: Divided, into: str, other: str, name: str | None = None) -> Divided:
    """Make one area of two: the first keeps its id and place, and takes the other's rooms and tasks in.

    The other's rooms and tasks come after its own; with `name` the merged area gets a new one.
    """
    if into == other:
        raise Malformed("An area cannot be merged with itself. Choose another one.")
    kept, gone = areas[position_of(areas, into)], areas[position_of(areas, other)]
    merged = replace(
        kept,
        name=kept.name if name is None else name.strip(),
        rooms=tuple(dict.fromkeys(kept.rooms + gone.rooms)),
        detail=kept.detail + gone.detail,
        declutter=kept.declutter + gone.declutter,
        suggestions=kept.suggestions + gone.suggestions,
    )
    return checked(merged if area is kept else area for area in areas if area is not gone)


def split(areas: Divided, area_id: str, new: Area, task_ids: Collection[str]) -> Divided:
    """Make two areas of one: the new one comes right after it, with its own rooms and with these tasks.

    Args:
        areas: In order.
        area_id: The area to split.
        new: The new area, with id, name and rooms; its rooms leave the old area. Tasks it brings come last.
        task_ids: The tasks that go over, from any list; they keep their order.
    """
    place = position_of(areas, area_id)
    old = areas[place]
    known = {task.id for task in all_tasks([old])}
    for task_id in task_ids:
        if task_id not in known:
            raise Unknown(f"There is no task “{task_id}” in {old.name}.")
    kept = replace(old, rooms=tuple(room for room in old.rooms if room not in new.rooms))
    for which in TaskList:
        over = tuple(task for task in old.tasks(which) if task.id in task_ids)
        stays = tuple(task for task in old.tasks(which) if task.id not in task_ids)
        kept, new = kept.with_tasks(which, stays), new.with_tasks(which, over + new.tasks(which))
    return checked((*areas[:place], kept, new, *areas[place + 1 :]))


def insert_task(
    areas: Divided, area_id: str, task: DetailTask, which: TaskList, position: int | None = None
) -> Divided:
    """Add a task to a list of an area, last unless a position is given."""
    area = areas[position_of(areas, area_id)]
    return _with(areas, area.with_tasks(which, _inserted(area.tasks(which), task, position)))


def replace_task(areas: Divided, task: DetailTask) -> Divided:
    """Put a task in the place of the one that has its id."""
    place, which, position = place_of(areas, task.id)
    tasks = areas[place].tasks(which)
    changed = (*tasks[:position], task, *tasks[position + 1 :])
    return _with(areas, areas[place].with_tasks(which, changed))


def drop_task(areas: Divided, task_id: str) -> Divided:
    """Take a task out."""
    return checked(_without_task(areas, task_id))


def move_task(areas: Divided, task_id: str, area_id: str, position: int | None = None) -> Divided:
    """Move a task within its list, or to the same list of another area; last unless a position is given."""
    place, which, at = place_of(areas, task_id)
    task = areas[place].tasks(which)[at]
    return insert_task(_without_task(areas, task_id), area_id, task, which, position)


def add_suggestion(areas: Divided, task_id: str) -> Divided:
    """Put a suggestion on its area's list, in the place it has among the tasks it came with.

    Raises:
        Unknown: It is no suggestion.
    """
    area, task = _suggestion(areas, task_id)
    return insert_task(
        _without_task(areas, task_id), area.id, task, TaskList.DETAIL, working_place(area.detail, task)
    )


def drop_suggestion(areas: Divided, task_id: str) -> Divided:
    """Take a suggestion out.

    Raises:
        Unknown: It is no suggestion.
    """
    _suggestion(areas, task_id)
    return drop_task(areas, task_id)


def _suggestion(areas: Divided, task_id: str) -> tuple[Area, DetailTask]:
    place, which, at = place_of(areas, task_id)
    if which is not TaskList.SUGGESTIONS:
        raise Unknown(f"There is no suggestion “{task_id}”. It may have been put on the list meanwhile.")
    return areas[place], areas[place].suggestions[at]


def working_place(tasks: Tasks, task: DetailTask) -> int:
    """Where a task that came with others belongs among them: after the nearest one that came before it.

    Tasks get their ids in working order, so the nearest is the one with the greatest smaller number.
    """
    number = _number(task)
    before = [(_number(one), at) for at, one in enumerate(tasks) if _number(one) < number]
    return max(before)[1] + 1 if before else 0


def _number(task: DetailTask) -> int:
    return whole_number(task.id.lstrip("t"), MOST_NUMBER) or 0


def set_aside(areas: Divided, task_id: str) -> Divided:
    """Take a detail task off the list and keep it beside as a suggestion.

    Raises:
        Unknown: It is no detail task.
    """
    place, which, at = place_of(areas, task_id)
    if which is not TaskList.DETAIL:
        raise Unknown(f"There is no task “{task_id}” on a list to put aside.")
    task, beside = areas[place].detail[at], areas[place].suggestions
    return insert_task(
        _without_task(areas, task_id),
        areas[place].id,
        task,
        TaskList.SUGGESTIONS,
        working_place(beside, task),
    )


def _with(areas: Divided, changed: Area) -> Divided:
    return checked(changed if area.id == changed.id else area for area in areas)


def _without_task(areas: Divided, task_id: str) -> Divided:
    place, which, position = place_of(areas, task_id)
    tasks = areas[place].tasks(which)
    without = areas[place].with_tasks(which, tasks[:position] + tasks[position + 1 :])
    return (*areas[:place], without, *areas[place + 1 :])


def _inserted(values: tuple[T, ...], value: T, position: int | None) -> tuple[T, ...]:
    place = len(values) if position is None else max(0, position)
    return tuple(chain(values[:place], [value], values[place:]))
