"""The home divided into areas as a whole: proposed for its rooms, set up, put anew, and taken back."""

from __future__ import annotations

from itertools import count
from typing import TYPE_CHECKING, TypedDict

from coach.areas.answers import Proposal, ProposedArea, ProposedTask
from coach.areas.changes import put, task_ids
from coach.areas.overview import all_areas_in
from coach.areas.passes import area_now
from coach.areas.plans import Kept, brought_back, kept, kept_row
from coach.areas.rooms import kind_said, refuse_unknown, rooms_at_first
from coach.areas.rules.model import (
    Area,
    DetailTask,
    Size,
    all_tasks,
    checked,
    minutes_faults,
    position_of,
    refuse,
    size_faults,
)
from coach.areas.rules.packing import visits
from coach.areas.rules.plan import Plan
from coach.areas.rules.proposal import free_id, proposed
from coach.areas.rules.replanning import redivided
from coach.areas.rules.rotation import MINUTES_A_WEEK, MOST_AREAS, Rotation
from coach.areas.tasks import task_wanted
from coach.areas.wording import areas_words, picked_words
from coach.errors import NotEditable
from coach.ground.writing import Decision, to_plan

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence

    from coach.areas.answers import Areas
    from coach.areas.rooms import Named
    from coach.areas.rules.model import Divided
    from coach.areas.rules.proposal import Division, Room
    from coach.areas.tasks import WantedTask
    from coach.ground.ports import Context, Library
    from coach.ground.situation import Situation


def propose(
    context: Context, names: Sequence[Named], areas: int | None = None, minutes: int | None = None
) -> Proposal:
    """A division of a home with these rooms; nothing is kept.

    Args:
        context: Store, lessons and clock.
        names: The rooms as the household names them, with their kinds where those are said.
        areas: How many areas are wanted; none: as many as the minutes make.
        minutes: Of one area's turn; none: as usual.

    Raises:
        Unknown: A room is said to be of a kind that there is not.
        Malformed: There is no room, or so many areas cannot be made of them, or the minutes cannot be meant.
    """
    named = rooms_at_first(context.library, names)
    minutes_a_week = MINUTES_A_WEEK if minutes is None else minutes
    numbers = count(1)
    found = _divided(context.library, named, lambda: str(next(numbers)), areas, minutes_a_week)
    made = tuple(_proposed_area(area, minutes_a_week) for area in found.areas)
    turns = round(sum(area.visits for area in made) / len(made))
    in_all = sum(room.minutes for room in named)
    return Proposal(
        rooms=tuple(room.name for room in named),
        kinds=tuple(map(kind_said, named)),
        unknown=tuple(room.name for room in named if room.is_unknown),
        areas=made,
        most=min(len(named), MOST_AREAS),
        minutes_a_week=minutes_a_week,
        by_minutes=found.by_minutes,
        picked=picked_words(len(named), in_all, minutes_a_week, len(made), found.by_minutes, turns),
    )


def _divided(
    library: Library, named: Sequence[Room], new_id: Callable[[], str], areas: int | None, minutes: int
) -> Division:
    refuse(minutes_faults(minutes))
    return proposed(named, library.rooms(), new_id, areas, minutes)


def _proposed_area(area: Area, minutes_a_week: int) -> ProposedArea:
    minutes = [task.minutes for task in area.detail]
    return ProposedArea(
        name=area.name,
        rooms=area.rooms,
        minutes=sum(minutes),
        visits=visits(minutes, minutes_a_week),
        detail=tuple(map(_proposed_task, area.detail)),
        declutter=tuple(map(_proposed_task, area.declutter)),
        suggestions=tuple(map(_proposed_task, area.suggestions)),
    )


def _proposed_task(task: DetailTask) -> ProposedTask:
    return ProposedTask(task.title, task.minutes, task.every_days, task.source, task.caution)


def set_up(
    context: Context,
    household: str,
    names: Sequence[Named],
    areas: int | None = None,
    minutes: int | None = None,
) -> Areas:
    """Divide the home as proposed for these rooms; the rotation begins in this week with the first area.

    Raises:
        NotStarted: The household has not chosen its first step.
        NotEditable: The home is divided into areas already.
        Unfit: The kind of a room is neither told by its name nor said.
        Unknown, Malformed: As for the proposal.
    """
    minutes_a_week = MINUTES_A_WEEK if minutes is None else minutes

    def decide(where: Situation) -> Decision[None]:
        held = kept(where)
        if held.plan is not None:
            raise NotEditable("The home is divided into areas already. Change them, or take that back.")
        new_id, last = task_ids(held)
        named = rooms_at_first(context.library, names)
        divided = _divided(context.library, named, new_id, areas, minutes_a_week).areas
        refuse_unknown(named)
        return to_plan([kept_row(where, begun(where, divided, last(), minutes_a_week))])

    return put(context, household, decide, all_areas_in)


def begun(where: Situation, divided: Divided, next_task: int, minutes_a_week: int = MINUTES_A_WEEK) -> Kept:
    """The plan of a home that has just been divided."""
    turns = Rotation(len(divided), where.today, starts=where.starts, minutes_a_week=minutes_a_week)
    said = f"Divided the home into {areas_words(len(divided))}"
    return Kept(Plan(where.today, divided, turns), said, next_task)


class WantedArea(TypedDict, total=False):
    """An area as it is wanted by a program.

    Attributes:
        area: Its id, if it is one that the plan has.
    """

    area: str | None
    name: str
    rooms: Sequence[str]
    detail: Sequence[WantedTask]
    declutter: Sequence[WantedTask]
    suggestions: Sequence[WantedTask]


def put_areas(context: Context, household: str, wanted: Sequence[WantedArea]) -> Areas:
    """Put these areas in the place of those there are; without any, the rotation begins in this week.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: An area or a task has an id that the plan does not have, or there is no such caution.
        Malformed: A home cannot be divided so; every fault is named.
    """

    def decide(where: Situation) -> Decision[None]:
        held = kept(where)
        new_id, last = task_ids(held)
        areas = _taken(context, held.plan, wanted, new_id)
        return to_plan([kept_row(where, _with_areas(where, held, areas, last))])

    return put(context, household, decide, all_areas_in)


def _with_areas(where: Situation, held: Kept, areas: Divided, last: Callable[[], int]) -> Kept:
    now = area_now(where)
    if held.plan is None or now is None:
        return begun(where, areas, last())
    changed = redivided(held.plan, areas, where.today, now.opening.turn)
    return Kept(changed, "Put the areas anew", last())


def _taken(
    context: Context, plan: Plan | None, wanted: Iterable[WantedArea], new_id: Callable[[], str]
) -> Divided:
    wanted = tuple(wanted)
    refuse(size_faults([_size(one) for one in wanted]))
    old = plan.areas if plan else ()
    known = {task.id for task in all_tasks(old)}

    def tasks(of: Iterable[WantedTask]) -> tuple[DetailTask, ...]:
        return tuple(task_wanted(context, task, known, new_id) for task in of)

    made: list[Area] = []
    for one in wanted:
        name, area = one.get("name", ""), one.get("area")
        if area is not None:
            position_of(old, area)
        area_id = area or free_id(name, {area.id for area in (*old, *made)})
        lists = (one.get("detail", ()), one.get("declutter", ()), one.get("suggestions", ()))
        made.append(Area(area_id, name.strip(), tuple(one.get("rooms", ())), *map(tasks, lists)))
    return checked(made)


def _size(wanted: WantedArea) -> Size:
    return Size(
        name=wanted.get("name", ""),
        rooms=len(wanted.get("rooms", ())),
        detail=len(wanted.get("detail", ())),
        declutter=len(wanted.get("declutter", ())),
        suggestions=len(wanted.get("suggestions", ())),
    )


def undo(context: Context, household: str) -> Areas:
    """Take the last change back: of the areas, their tasks, their turns or how they are worked in.

    Doing it again takes back the change before that.

    Raises:
        NotStarted: The household has not chosen its first step.
        NotEditable: Nothing is left to take back.
    """

    def decide(where: Situation) -> Decision[None]:
        back = brought_back(where)
        if back is None:
            raise NotEditable("There is no change of the areas left to take back.")
        return to_plan([kept_row(where, back)])

    return put(context, household, decide, all_areas_in)
