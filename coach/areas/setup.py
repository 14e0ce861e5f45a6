"""The home divided into areas as a whole: proposed for its rooms, set up, put anew, and taken back."""

from __future__ import annotations

from itertools import count
from typing import TYPE_CHECKING, TypedDict

from coach.areas.answers import Proposal, ProposedArea, ProposedTask, RoomChoice
from coach.areas.changes import put, task_ids
from coach.areas.overview import all_areas_in
from coach.areas.passes import area_now
from coach.areas.plans import Kept, brought_back, kept, kept_row
from coach.areas.rules.model import (
    NAME_LENGTH,
    Area,
    DetailTask,
    Size,
    all_tasks,
    checked,
    position_of,
    refuse,
    size_faults,
)
from coach.areas.rules.packing import visits
from coach.areas.rules.plan import Plan
from coach.areas.rules.proposal import Room, check_number, free_id, proposed
from coach.areas.rules.replanning import redivided
from coach.areas.rules.rotation import MINUTES_A_WEEK, MOST_AREAS, Rotation
from coach.areas.tasks import task_wanted
from coach.course.keys import is_blank
from coach.course.rooms import kind_of
from coach.errors import NotEditable
from coach.ground.writing import Decision, to_plan

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence

    from coach.areas.answers import Areas
    from coach.areas.rules.model import Divided
    from coach.areas.tasks import WantedTask
    from coach.ground.ports import Context, Library
    from coach.ground.situation import Situation


def rooms(context: Context) -> tuple[RoomChoice, ...]:
    """The kinds of rooms that have starter lists."""
    return tuple(
        RoomChoice(kind.id, kind.title, kind.words, kind.minutes, len(kind.detail), len(kind.declutter))
        for kind in context.library.rooms()
    )


def propose(context: Context, names: Sequence[str], areas: int | None = None) -> Proposal:
    """A division of a home with these rooms; nothing is kept.

    Args:
        context: Store, lessons and clock.
        names: The rooms as the household names them.
        areas: How many areas are wanted; none: as many as take about four weeks each.

    Raises:
        Malformed: There is no room, or so many areas cannot be made of them.
    """
    named = _rooms_at_first(context.library, names)
    numbers = count(1)
    found = proposed(named, context.library.rooms(), lambda: str(next(numbers)), areas)
    return Proposal(
        rooms=tuple(room.name for room in named),
        without_list=tuple(room.name for room in named if room.kind is None),
        areas=tuple(_proposed_area(area) for area in found),
        most=min(len(named), MOST_AREAS),
    )


def _rooms_at_first(library: Library, names: Iterable[str]) -> list[Room]:
    filled = [name for name in names if name.strip()]
    check_number(len(filled))
    return rooms_named(library, filled)


def rooms_named(library: Library, names: Iterable[str]) -> list[Room]:
    """Rooms with their kinds; spaces are put straight and empty names left out.

    To look for a room's kind takes a while, so whoever asks sees first that they are not too many.
    """
    kinds = library.rooms()
    plain = (" ".join(name.split()) for name in names)
    return [
        # A longer name is no room's, and is going to be refused.
        Room(name, kind_of(name, kinds) if len(name) <= NAME_LENGTH else None)
        for name in plain
        if not is_blank(name)
    ]


def _proposed_area(area: Area) -> ProposedArea:
    minutes = [task.minutes for task in area.detail]
    return ProposedArea(
        name=area.name,
        rooms=area.rooms,
        minutes=sum(minutes),
        visits=visits(minutes, MINUTES_A_WEEK),
        detail=tuple(map(_proposed_task, area.detail)),
        declutter=tuple(map(_proposed_task, area.declutter)),
    )


def _proposed_task(task: DetailTask) -> ProposedTask:
    return ProposedTask(task.title, task.minutes, task.every_days, task.source, task.caution)


def set_up(context: Context, household: str, names: Sequence[str], areas: int | None = None) -> Areas:
    """Divide the home as proposed for these rooms; the rotation begins in this week with the first area.

    Raises:
        NotStarted: The household has not chosen its first step.
        NotEditable: The home is divided into areas already.
        Malformed: As for the proposal.
    """

    def decide(where: Situation) -> Decision[None]:
        held = kept(where)
        if held.plan is not None:
            raise NotEditable("The home is divided into areas already. Change them, or take that back.")
        new_id, last = task_ids(held)
        named = _rooms_at_first(context.library, names)
        divided = proposed(named, context.library.rooms(), new_id, areas)
        return to_plan([kept_row(where, begun(where, divided, last()))])

    return put(context, household, decide, all_areas_in)


def begun(where: Situation, divided: Divided, next_task: int) -> Kept:
    """The plan of a home that has just been divided."""
    turns = Rotation(len(divided), where.today, starts=where.starts)
    said = (
        "Divided the home into 1 area" if len(divided) == 1 else f"Divided the home into {len(divided)} areas"
    )
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
        detail, declutter = tasks(one.get("detail", ())), tasks(one.get("declutter", ()))
        made.append(Area(area_id, name.strip(), tuple(one.get("rooms", ())), detail, declutter))
    return checked(made)


def _size(wanted: WantedArea) -> Size:
    detail, declutter = len(wanted.get("detail", ())), len(wanted.get("declutter", ()))
    return Size(wanted.get("name", ""), len(wanted.get("rooms", ())), detail, declutter)


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
