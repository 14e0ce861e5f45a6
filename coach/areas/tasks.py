"""The tasks of the areas changed: added, changed, moved and removed."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, TypedDict

from coach.areas.changes import Change, redivide
from coach.areas.given import TaskGiven, task_given
from coach.areas.overview import all_areas_in
from coach.areas.rules import division
from coach.areas.rules.model import DetailTask, TaskList, place_of, position_of
from coach.course.direction import isolated
from coach.errors import Unknown

if TYPE_CHECKING:
    from coach.areas.answers import Areas, ListName
    from coach.areas.rules.model import Area
    from coach.ground.ports import Context

Divided = tuple["Area", ...]


class TaskChanges(TypedDict, total=False):
    """What changes about a task; what is left out stays as it is.

    Attributes:
        every_days: None takes the interval away; another one than its source's takes the source away.
        area: The id of the area it moves to.
        position: Its new place in the list, counted from 0; last without one where it moves to another area.
    """

    title: str
    minutes: int
    every_days: int | None
    caution: str | None
    area: str
    position: int


def add_task(
    context: Context,
    household: str,
    area: str,
    which: ListName,
    given: TaskGiven,
    position: int | None = None,
) -> Areas:
    """Add a task to a list of an area, last without a position.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: The areas are not set up, or there is no such area or caution.
        Malformed: It has no name, or minutes or days that cannot be meant.
    """

    def decide(found: Change) -> tuple[Divided, str]:
        task = task_given(context, given, (), found.new_id)
        areas = division.add_task(found.plan.areas, area, task, TaskList(which), position)
        return areas, f"Added “{isolated(task.title)}”"

    return redivide(context, household, decide, all_areas_in)


def change_task(context: Context, household: str, task: str, changes: TaskChanges) -> Areas:
    """Change a task, or move it within its list or to another area.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: The areas are not set up, or there is no such task, area or caution.
        Malformed: It would have no name, or minutes or days that cannot be meant.
    """

    def decide(found: Change) -> tuple[Divided, str]:
        old = _task(found, task)
        areas = division.change_task(found.plan.areas, _changed(context, old, changes))
        if "area" in changes or "position" in changes:
            home = found.plan.areas[place_of(found.plan.areas, task)[0]].id
            areas = _moved(areas, task, changes.get("area", home), changes.get("position"))
        return areas, f"Changed “{isolated(old.title)}”"

    return redivide(context, household, decide, all_areas_in)


def _moved(areas: Divided, task: str, area: str, position: int | None) -> Divided:
    position_of(areas, area)
    return division.move_task(areas, task, area, position)


def _changed(context: Context, old: DetailTask, changes: TaskChanges) -> DetailTask:
    every_days = changes.get("every_days", old.every_days)
    caution = changes.get("caution", old.caution)
    if caution is not None and caution != old.caution and caution not in context.library.cautions():
        raise Unknown(f"There is no caution “{caution}”.")
    return replace(
        old,
        title=changes.get("title", old.title).strip(),
        minutes=changes.get("minutes", old.minutes),
        every_days=every_days,
        caution=caution,
        source=old.source if every_days == old.every_days else None,
    )


def remove_task(context: Context, household: str, task: str) -> Areas:
    """Take a task out.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: The areas are not set up, or there is no such task.
    """

    def decide(found: Change) -> tuple[Divided, str]:
        title = _task(found, task).title
        return division.remove_task(found.plan.areas, task), f"Removed “{isolated(title)}”"

    return redivide(context, household, decide, all_areas_in)


def _task(found: Change, task: str) -> DetailTask:
    area, which, place = place_of(found.plan.areas, task)
    return found.plan.areas[area].tasks(which)[place]
