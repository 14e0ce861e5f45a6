"""The areas of a home with their lists, as pages and JSON show them."""

from __future__ import annotations

from dataclasses import replace
from math import ceil
from typing import TYPE_CHECKING, cast

from coach.areas.answers import Areas, AreaTask, AreaView, MinutesChoice, TaskView
from coach.areas.passes import area_days, area_now
from coach.areas.plans import kept
from coach.areas.rules.enough import coverage
from coach.areas.rules.floor import Floor, floor
from coach.areas.rules.model import all_tasks
from coach.areas.rules.plan import SPOT_MINUTES
from coach.areas.rules.rotation import MINUTES_A_WEEK, MOST_MINUTES, Mode
from coach.areas.wording import NO_TURN, remarks
from coach.errors import Unknown
from coach.ground.cautions import caution_views
from coach.ground.situation import remembered

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import date

    from coach.areas.answers import AnyListName, WeekdayName
    from coach.areas.plans import Kept
    from coach.areas.rules.enough import Coverage
    from coach.areas.rules.model import DetailTask
    from coach.areas.rules.passes import Opening
    from coach.areas.rules.plan import Plan
    from coach.areas.rules.rotation import Turn
    from coach.ground.ports import Context, Library
    from coach.ground.situation import Situation

A_YEAR = 53
"""Weeks within which every area has a turn: there are at most twelve, and some are skipped."""

HALF_AS_MUCH_AGAIN, TWICE = 1.5, 2.0
"""The shares of the minutes a week that are offered in their place."""

TO_THE = 5
"""Minutes that are offered are whole fives, upwards."""


def all_areas(context: Context, household: str) -> Areas:
    """The areas with their lists; none before the set-up.

    Raises:
        NotStarted: The household has not chosen its first step.
    """
    return remembered(context, household, "areas", all_areas_in)


def all_areas_in(where: Situation) -> Areas:
    """The areas with their lists, and whether their turns are enough for them, out of a situation."""
    held, library = kept(where), where.context.library
    now = area_now(where)
    if held.plan is None or now is None:
        return _before_the_set_up(where, held)
    home, opening = held.plan, now.opening
    turns = now.turns(A_YEAR)
    done = {**now.passes.last_done, **now.done}
    table = coverage(home.areas, home.rotation, opening.week)
    return Areas(
        areas=tuple(_area(library, home, found, turns, done) for found in table),
        mode=home.rotation.mode.value,
        minutes_a_week=home.rotation.minutes_a_week,
        way=home.way.value,
        spot_minutes=home.spot_minutes,
        area_days=cast("tuple[WeekdayName, ...]", area_days(where)),
        declutter_weeks=_declutter_left(opening),
        this_week=tuple(one.area.id for one in opening.areas),
        undo=held.said or None,
    )


def floor_of(areas: Areas) -> Floor:
    """A simple plan of the home, drawn from the areas' names and rooms."""
    return floor([(area.name, area.rooms) for area in areas.areas])


def more_minutes(minutes_a_week: int) -> tuple[int, ...]:
    """The numbers of minutes a week that are offered beside one, each longer than it."""
    made = {_fives(minutes_a_week * share) for share in (HALF_AS_MUCH_AGAIN, TWICE)}
    return tuple(sorted(minutes for minutes in made if minutes_a_week < minutes <= MOST_MINUTES))


def more_minutes_in(where: Situation) -> tuple[MinutesChoice, ...]:
    """What more minutes a week would make of the time in which all the lists are gone through once."""
    now = area_now(where)
    if now is None:
        return ()
    home, week = now.opening.plan, now.opening.week
    wanted = more_minutes(home.rotation.minutes_a_week)
    rotations = (replace(home.rotation, minutes_a_week=minutes) for minutes in wanted)
    return tuple(
        MinutesChoice(one.minutes_a_week, max(found.weeks for found in coverage(home.areas, one, week)))
        for one in rotations
    )


def _fives(minutes: float) -> int:
    return ceil(minutes / TO_THE) * TO_THE


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


def task_among(areas: Areas, task: str) -> tuple[AreaView, TaskView]:
    """A task of all areas, and the area it belongs to.

    Raises:
        Unknown: There is no such task.
    """
    for area in areas.areas:
        for found in (*area.detail, *area.declutter, *area.suggestions):
            if found.task == task:
                return area, found
    raise Unknown(f"There is no task “{task}”.")


def task_in(where: Situation, task: str) -> AreaTask:
    """A task with its place, out of a situation; the errors are those of `task_among`."""
    area, found = task_among(all_areas_in(where), task)
    lists: dict[AnyListName, tuple[TaskView, ...]] = {
        "detail": area.detail,
        "declutter": area.declutter,
        "suggestions": area.suggestions,
    }
    which = next(name for name, tasks in lists.items() if found in tasks)
    return AreaTask(
        task=found.task,
        title=found.title,
        minutes=found.minutes,
        every_days=found.every_days,
        source=found.source,
        caution=found.caution,
        area=area.area,
        list=which,
        position=lists[which].index(found),
    )


def _before_the_set_up(where: Situation, held: Kept) -> Areas:
    return Areas(
        areas=(),
        mode="continuous",
        minutes_a_week=MINUTES_A_WEEK,
        way="list",
        spot_minutes=SPOT_MINUTES,
        area_days=cast("tuple[WeekdayName, ...]", area_days(where)),
        declutter_weeks=0,
        this_week=(),
        undo=held.said or None,
    )


def _area(
    library: Library, home: Plan, found: Coverage, turns: Sequence[Turn], done: Mapping[str, date]
) -> AreaView:
    area = found.area
    position = home.areas.index(area) + 1
    taken = [turn for turn in turns if turn.areas and not turn.waits]
    next_turn = next((turn.week for turn in taken if position in turn.areas), None)
    # While the household is away for good nobody has a turn, and no area is passed over.
    passed_over = next_turn is None and bool(taken and area.detail) and home.rotation.mode is Mode.NEED
    return AreaView(
        area=area.id,
        name=area.name,
        number=position,
        rooms=area.rooms,
        minutes=found.minutes,
        detail=tuple(map(_task, area.detail)),
        declutter=tuple(map(_task, area.declutter)),
        suggestions=tuple(map(_task, area.suggestions)),
        visits=found.visits,
        weeks=found.weeks,
        remarks=(*remarks(found, home.rotation.minutes_a_week), *([NO_TURN] if passed_over else ())),
        next_turn=next_turn,
        cautions=caution_views(library, (task.caution for task in all_tasks([area]))),
        sort_first=home.is_sorted_out(area, done),
    )


def _task(task: DetailTask) -> TaskView:
    return TaskView(task.id, task.title, task.minutes, task.every_days, task.source, task.caution)


def _declutter_left(opening: Opening) -> int:
    declutter = opening.plan.declutter
    if declutter is None:
        return 0
    return max(0, declutter.first + declutter.turns - max(declutter.first, opening.turn.number))
