"""The areas of a home: what a household sees of them, a proposal to begin with, and the set-up."""

from __future__ import annotations

from itertools import count
from typing import TYPE_CHECKING, TypeVar

from coach.areas.answers import (
    Areas,
    AreaView,
    AreaWeekView,
    Proposal,
    ProposedArea,
    ProposedTask,
    RoomChoice,
    RotationView,
)
from coach.areas.changes import put, task_ids
from coach.areas.plans import Kept, brought_back, kept, kept_row
from coach.areas.rules.floor import Floor, floor
from coach.areas.rules.packing import visits
from coach.areas.rules.plan import Plan
from coach.areas.rules.proposal import Room, proposed
from coach.areas.rules.rotation import MINUTES_A_WEEK, MOST_AREAS, Rotation
from coach.areas.views import areas_view, rotation_view, week_view
from coach.areas.week import AreaNow, area_now
from coach.areas.wording import NOT_SET_UP
from coach.course.keys import is_blank
from coach.course.rooms import kind_of
from coach.errors import NotEditable, Unknown
from coach.ground.situation import Situation, looking, stamp
from coach.ground.writing import Decision, to_plan

if TYPE_CHECKING:
    from collections.abc import Callable, Hashable, Iterable, Sequence

    from coach.areas.rules.model import Area, DetailTask
    from coach.ground.ports import Context, Library

Result = TypeVar("Result")

WEEKS_AHEAD = 12


def _remembered(
    context: Context, household: str, key: Hashable, work: Callable[[Situation], Result]
) -> Result:
    """What `work` gives, worked out anew only after something changed that it depends on."""

    def compute() -> Result:
        with looking(context, household) as where:
            return work(where)

    return context.memo.get((key, household), stamp(context, household), compute)


def all_areas(context: Context, household: str) -> Areas:
    """The areas with their lists; none before the set-up.

    Raises:
        NotStarted: The household has not chosen its first step.
    """
    return _remembered(context, household, "areas", all_areas_in)


def all_areas_in(where: Situation) -> Areas:
    """The areas with their lists, out of a situation."""
    return areas_view(where)


def floor_of(areas: Areas) -> Floor:
    """A simple plan of the home, drawn from the areas' names and rooms."""
    return floor([(area.name, area.rooms) for area in areas.areas])


def one_area(context: Context, household: str, area: str) -> AreaView:
    """One area with its lists.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: There is no such area.
    """
    return area_among(all_areas(context, household), area)


def area_among(areas: Areas, area: str) -> AreaView:
    """One area of all; the errors are those of `one_area`."""
    for found in areas.areas:
        if found.area == area:
            return found
    raise Unknown(f"There is no area “{area}”.")


def this_week(context: Context, household: str) -> AreaWeekView:
    """This week's area.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: The areas are not set up.
    """
    return _remembered(context, household, "area-week", this_week_in)


def this_week_in(where: Situation) -> AreaWeekView:
    """This week's area, out of a situation; the errors are those of `this_week`."""
    return week_view(where, _now(where))


def rotation(context: Context, household: str, weeks: int = WEEKS_AHEAD) -> RotationView:
    """The weeks to come, from this one on.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: The areas are not set up.
        Malformed: The calendar has not that many weeks.
    """
    return _remembered(context, household, ("rotation", weeks), lambda where: rotation_in(where, weeks))


def rotation_in(where: Situation, weeks: int = WEEKS_AHEAD) -> RotationView:
    """The weeks to come, out of a situation; the errors are those of `rotation`."""
    return rotation_view(where, _now(where), weeks)


def _now(where: Situation) -> AreaNow:
    now = area_now(where)
    if now is None:
        raise Unknown(NOT_SET_UP)
    return now


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
    named = rooms_named(context.library, names)
    numbers = count(1)
    found = proposed(named, context.library.rooms(), lambda: str(next(numbers)), areas)
    return Proposal(
        rooms=tuple(room.name for room in named),
        without_list=tuple(room.name for room in named if room.kind is None),
        areas=tuple(_proposed_area(area) for area in found),
        most=min(len(named), MOST_AREAS),
    )


def rooms_named(library: Library, names: Iterable[str]) -> list[Room]:
    """Rooms with their kinds; spaces are put straight and empty names left out."""
    kinds = library.rooms()
    plain = (" ".join(name.split()) for name in names)
    return [Room(name, kind_of(name, kinds)) for name in plain if not is_blank(name)]


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
        named = rooms_named(context.library, names)
        divided = proposed(named, context.library.rooms(), new_id, areas)
        return to_plan([kept_row(where, begun(where, divided, last()))])

    return put(context, household, decide, all_areas_in)


def begun(where: Situation, divided: tuple[Area, ...], next_task: int) -> Kept:
    """The plan of a home that has just been divided."""
    turns = Rotation(len(divided), where.today, starts=where.starts)
    said = (
        "Divided the home into 1 area" if len(divided) == 1 else f"Divided the home into {len(divided)} areas"
    )
    return Kept(Plan(where.today, divided, turns), said, next_task)


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
