"""Areas and tasks as a program gives them, put in the place of those there are."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from coach.areas.changes import put, task_ids
from coach.areas.overview import all_areas_in, begun
from coach.areas.plans import Kept, kept, kept_row
from coach.areas.rules.model import Area, DetailTask, all_tasks, checked, position_of
from coach.areas.rules.proposal import free_id
from coach.areas.rules.replanning import redivided
from coach.areas.week import area_now
from coach.errors import Unknown
from coach.ground.writing import Decision, to_plan

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Iterable, Sequence

    from coach.areas.answers import Areas
    from coach.areas.rules.plan import Plan
    from coach.ground.ports import Context
    from coach.ground.situation import Situation

Divided = tuple[Area, ...]


@dataclass(frozen=True, slots=True)
class TaskGiven:
    """A task as a program gives it.

    Attributes:
        task: Its id, if it is one that the plan has.
        caution: A key of the cautions.
    """

    title: str
    minutes: int
    task: str | None = None
    every_days: int | None = None
    source: str | None = None
    caution: str | None = None


@dataclass(frozen=True, slots=True)
class AreaGiven:
    """An area as a program gives it; `area` is its id, if it is one that the plan has."""

    name: str
    rooms: tuple[str, ...] = ()
    detail: tuple[TaskGiven, ...] = ()
    declutter: tuple[TaskGiven, ...] = ()
    area: str | None = None


def put_areas(context: Context, household: str, given: Sequence[AreaGiven]) -> Areas:
    """Put these areas in the place of those there are; without any, the rotation begins in this week.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: An area or a task has an id that the plan does not have, or there is no such caution.
        Malformed: A home cannot be divided so; every fault is named.
    """

    def decide(where: Situation) -> Decision[None]:
        held = kept(where)
        new_id, last = task_ids(held)
        areas = _taken(context, held.plan, given, new_id)
        return to_plan([kept_row(where, _with_areas(where, held, areas, last))])

    return put(context, household, decide, all_areas_in)


def _with_areas(where: Situation, held: Kept, areas: Divided, last: Callable[[], int]) -> Kept:
    now = area_now(where)
    if held.plan is None or now is None:
        return begun(where, areas, last())
    changed = redivided(held.plan, areas, where.today, now.opening.turn)
    return Kept(changed, "Put the areas anew", last())


def _taken(
    context: Context, plan: Plan | None, given: Iterable[AreaGiven], new_id: Callable[[], str]
) -> Divided:
    old = plan.areas if plan else ()
    known = {task.id for task in all_tasks(old)}

    def tasks(of: Iterable[TaskGiven]) -> tuple[DetailTask, ...]:
        return tuple(task_given(context, task, known, new_id) for task in of)

    made: list[Area] = []
    for one in given:
        if one.area is not None:
            position_of(old, one.area)
        area_id = one.area or free_id(one.name, {area.id for area in (*old, *made)})
        made.append(Area(area_id, one.name.strip(), one.rooms, tasks(one.detail), tasks(one.declutter)))
    return checked(made)


def task_given(
    context: Context, task: TaskGiven, known: Collection[str], new_id: Callable[[], str]
) -> DetailTask:
    """A task of the plan from one that was given; the ids it may bring are those known.

    Raises:
        Unknown: The plan has no task of that id, or there is no such caution.
    """
    if task.task is not None and task.task not in known:
        raise Unknown(f"There is no task “{task.task}”. Leave the id of a new task out.")
    if task.caution is not None and task.caution not in context.library.cautions():
        raise Unknown(f"There is no caution “{task.caution}”.")
    return DetailTask(
        id=task.task or new_id(),
        title=task.title.strip(),
        minutes=task.minutes,
        every_days=task.every_days,
        caution=task.caution,
        source=task.source,
    )
