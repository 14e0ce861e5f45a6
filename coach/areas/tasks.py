"""The tasks of the areas changed: added, changed, moved, put aside as suggestions and removed."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, TypedDict, cast

from coach.areas.changes import Change, redivide
from coach.areas.overview import all_areas_in
from coach.areas.rules import division
from coach.areas.rules.model import DetailTask, TaskList, place_of, position_of
from coach.course.direction import isolated
from coach.errors import Unknown

if TYPE_CHECKING:
    from collections.abc import Callable, Collection

    from coach.areas.answers import Areas, ListName
    from coach.areas.rules.model import Divided
    from coach.ground.ports import Context


class WantedTask(TypedDict, total=False):
    """What is wanted of a task; what is left out is none for a new one, and else stays as it is.

    Attributes:
        task: The id of one that the plan has, where areas are put as a whole.
        every_days: None takes the interval away; without a source, another one than before takes that away.
        source: Where that interval comes from.
        caution: A key of the cautions; None takes it away.
        area: The id of the area it moves to.
        position: Its place in the list, counted from 0; last without one, unless it stays in its area.
    """

    task: str | None
    title: str
    minutes: int
    every_days: int | None
    source: str | None
    caution: str | None
    area: str
    position: int | None


def add_task(context: Context, household: str, area: str, which: ListName, wanted: WantedTask) -> Areas:
    """Add a task to a list of an area, last without a position.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: The areas are not set up, or there is no such area or caution.
        Malformed: It has no name, or minutes or days that cannot be meant.
    """

    def decide(found: Change) -> tuple[Divided, str]:
        task = task_wanted(context, wanted, (), found.new_id)
        areas = division.insert_task(found.plan.areas, area, task, TaskList(which), wanted.get("position"))
        return areas, f"Added “{isolated(task.title)}”"

    return redivide(context, household, decide, all_areas_in)


def change_task(context: Context, household: str, task: str, changes: WantedTask) -> Areas:
    """Change a task, or move it within its list or to another area.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: The areas are not set up, or there is no such task, area or caution.
        Malformed: It would have no name, or minutes or days that cannot be meant.
    """
    return redivide(context, household, lambda found: _with_changes(found, task, changes), all_areas_in)


def put_task(context: Context, household: str, task: str, wanted: WantedTask) -> Areas:
    """Change a task to all that a form says of it; its place in the list counts where it stays in its area.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: The areas are not set up, or there is no such task, area or caution.
        Malformed: It would have no name, or minutes or days that cannot be meant.
    """

    def decide(found: Change) -> tuple[Divided, str]:
        home = _home(found, task)
        moot = "area" if wanted.get("area", home) == home else "position"
        changes = {key: value for key, value in wanted.items() if key != moot}
        return _with_changes(found, task, cast("WantedTask", changes))

    return redivide(context, household, decide, all_areas_in)


def _with_changes(found: Change, task: str, changes: WantedTask) -> tuple[Divided, str]:
    old = _task(found, task)
    areas = division.replace_task(found.plan.areas, _changed(found.where.context, old, changes))
    if "area" in changes or "position" in changes:
        areas = _moved(areas, task, changes.get("area", _home(found, task)), changes.get("position"))
    return areas, f"Changed “{isolated(old.title)}”"


def _home(found: Change, task: str) -> str:
    return found.plan.areas[place_of(found.plan.areas, task)[0]].id


def _moved(areas: Divided, task: str, area: str, position: int | None) -> Divided:
    position_of(areas, area)
    return division.move_task(areas, task, area, position)


def task_wanted(
    context: Context, wanted: WantedTask, known: Collection[str], new_id: Callable[[], str]
) -> DetailTask:
    """A task of the plan as it is wanted; the ids it may bring are those known.

    Raises:
        Unknown: The plan has no task of that id, or there is no such caution.
    """
    task = wanted.get("task")
    if task is not None and task not in known:
        raise Unknown(f"There is no task “{task}”. Leave the id of a new task out.")
    return _changed(context, DetailTask(task or new_id(), "", 0), wanted)


def _changed(context: Context, old: DetailTask, changes: WantedTask) -> DetailTask:
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
        source=changes.get("source", old.source if every_days == old.every_days else None),
    )


def _put_over(
    context: Context, household: str, task: str, over: Callable[[Divided, str], Divided], said: str
) -> Areas:
    """Move a task between its area's list and what stands beside it; `said` tells it, around the title."""

    def decide(found: Change) -> tuple[Divided, str]:
        title = isolated(_task(found, task).title)
        return over(found.plan.areas, task), said.format(f"“{title}”")

    return redivide(context, household, decide, all_areas_in)


def add_suggestion(context: Context, household: str, task: str) -> Areas:
    """Put a suggestion on its area's list, in the place it has in the work of its room.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: The areas are not set up, or there is no such suggestion.
    """
    return _put_over(context, household, task, division.add_suggestion, "Added {}")


def remove_suggestion(context: Context, household: str, task: str) -> Areas:
    """Take a suggestion off; one that was put on its area's list meanwhile stays there.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: The areas are not set up, or there is no such suggestion.
    """
    return _put_over(context, household, task, division.drop_suggestion, "Removed {}")


def set_aside(context: Context, household: str, task: str) -> Areas:
    """Take a task off its area's list and keep it beside as a suggestion.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: The areas are not set up, or there is no such task on a list.
    """
    return _put_over(context, household, task, division.set_aside, "Put {} aside")


def remove_task(context: Context, household: str, task: str) -> Areas:
    """Take a task out, or a suggestion.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: The areas are not set up, or there is no such task.
    """

    def decide(found: Change) -> tuple[Divided, str]:
        title = _task(found, task).title
        return division.drop_task(found.plan.areas, task), f"Removed “{isolated(title)}”"

    return redivide(context, household, decide, all_areas_in)


def _task(found: Change, task: str) -> DetailTask:
    area, which, place = place_of(found.plan.areas, task)
    return found.plan.areas[area].tasks(which)[place]
