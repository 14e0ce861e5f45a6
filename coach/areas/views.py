"""The areas, their week and the weeks to come, as pages and JSON show them."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING, cast

from coach.areas.answers import (
    Areas,
    AreaTurn,
    AreaView,
    AreaWeekView,
    RotationView,
    Share,
    TaskView,
    WeekAhead,
    WeekTask,
)
from coach.areas.plans import kept
from coach.areas.rules.enough import coverage
from coach.areas.rules.model import all_tasks
from coach.areas.rules.passes import turns_ahead
from coach.areas.rules.plan import SPOT_MINUTES
from coach.areas.rules.rotation import MINUTES_A_WEEK
from coach.areas.week import AreaNow, area_days, area_now
from coach.areas.wording import remarks, turn_kind, turn_text
from coach.course.direction import isolated
from coach.ground.cautions import caution_view
from coach.ground.situation import EDITABLE_DAYS
from coach.ground.weeks import place_in_month, week_name
from coach.ground.wording import minutes_words

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence
    from datetime import date

    from coach.areas.answers import WeekdayName
    from coach.areas.plans import Kept
    from coach.areas.rules.enough import Coverage
    from coach.areas.rules.model import Area, DetailTask
    from coach.areas.rules.packing import LeftTask
    from coach.areas.rules.passes import AreaWeek, Opening
    from coach.areas.rules.plan import Plan
    from coach.areas.rules.rotation import Turn
    from coach.ground.cautions import CautionView
    from coach.ground.ports import Library
    from coach.ground.situation import Situation

A_YEAR = 53
"""Weeks within which every area has a turn: there are at most twelve, and some are skipped."""


def areas_view(where: Situation) -> Areas:
    """The areas with their lists, and whether their turns are enough for them."""
    held, library = kept(where), where.context.library
    now = area_now(where)
    if held.plan is None or now is None:
        return _before_the_set_up(where, held)
    home, opening = held.plan, now.opening
    turns = turns_ahead(opening, A_YEAR, where.away)
    table = coverage(home.areas, home.rotation, opening.week)
    return Areas(
        areas=tuple(_area(library, home, found, turns) for found in table),
        mode=home.rotation.mode.value,
        minutes_a_week=home.rotation.minutes_a_week,
        way=home.way.value,
        spot_minutes=home.spot_minutes,
        area_days=cast("tuple[WeekdayName, ...]", area_days(where)),
        declutter_weeks=_declutter_left(opening),
        this_week=tuple(one.area.id for one in opening.areas),
        undo=held.said or None,
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


def _area(library: Library, home: Plan, found: Coverage, turns: Sequence[Turn]) -> AreaView:
    area = found.area
    position = home.areas.index(area) + 1
    return AreaView(
        area=area.id,
        name=area.name,
        number=position,
        rooms=area.rooms,
        minutes=found.minutes,
        detail=tuple(map(_task, area.detail)),
        declutter=tuple(map(_task, area.declutter)),
        visits=found.visits,
        weeks=found.weeks,
        remarks=tuple(remarks(found, home.rotation.minutes_a_week)),
        next_turn=next((turn.week for turn in turns if position in turn.areas and not turn.waits), None),
        cautions=tuple(_cautions(library, area)),
    )


def _task(task: DetailTask) -> TaskView:
    return TaskView(task.id, task.title, task.minutes, task.every_days, task.source, task.caution)


def _cautions(library: Library, area: Area) -> Iterator[CautionView]:
    for key in dict.fromkeys(task.caution for task in all_tasks([area])):
        if (found := caution_view(library, key)) is not None:
            yield found


def _declutter_left(opening: Opening) -> int:
    declutter = opening.plan.declutter
    if declutter is None:
        return 0
    return max(0, declutter.first + declutter.turns - max(declutter.first, opening.turn.number))


def week_view(where: Situation, now: AreaNow) -> AreaWeekView:
    """This week's area."""
    opening, library = now.opening, where.context.library
    home, turn = opening.plan, opening.turn
    turns = tuple(_area_turn(library, one, now.done) for one in opening.areas)
    return AreaWeekView(
        week=opening.week,
        name=week_name(opening.week),
        last=opening.last_day,
        today=where.today,
        kind=turn_kind(home, turn),
        text=turn_text(home, turn) or _ordinary(opening),
        list=home.task_list(turn.number).value,
        way=home.way.value,
        areas=turns,
        spot=_week_task(library, now.spot, now.done) if now.spot else None,
        done_minutes=sum(_done_minutes(home, now.done)),
        days=tuple(_markable(where)),
        minutes=dict(now.minutes),
    )


def _ordinary(opening: Opening) -> str:
    (one,) = opening.areas
    return f"{isolated(one.area.name)} has its turn, for {minutes_words(one.minutes)}."


def _area_turn(library: Library, one: AreaWeek, done: Mapping[str, date]) -> AreaTurn:
    listed, if_time, held_back = (
        tuple(_week_task(library, left, done) for left in part)
        for part in (one.listed, one.if_time, one.held_back)
    )
    return AreaTurn(one.area.id, one.area.name, one.minutes, one.new_pass, listed, if_time, held_back)


def _week_task(library: Library, left: LeftTask, done: Mapping[str, date]) -> WeekTask:
    task = left.task
    return WeekTask(
        task=task.id,
        title=task.title,
        minutes=task.minutes,
        every_days=task.every_days,
        source=task.source,
        caution=caution_view(library, task.caution),
        done=done.get(task.id),
        ready=left.ready,
    )


def _done_minutes(home: Plan, done: Mapping[str, date]) -> Iterator[int]:
    for area in home.areas:
        for task in (*area.detail, *area.declutter):
            if task.id in done:
                yield task.minutes


def _markable(where: Situation) -> Iterator[date]:
    for ago in range(EDITABLE_DAYS + 1):
        day = where.today - timedelta(days=ago)
        if day >= where.standing.started:
            yield day


def rotation_view(where: Situation, now: AreaNow, weeks: int) -> RotationView:
    """So many weeks from this one on."""
    opening = now.opening
    ahead = [_week_ahead(opening.plan, turn) for turn in turns_ahead(opening, weeks, where.away)]
    rotation = opening.plan.rotation
    return RotationView(rotation.mode.value, rotation.minutes_a_week, tuple(ahead), kept(where).said or None)


def _week_ahead(home: Plan, turn: Turn) -> WeekAhead:
    place = place_in_month(turn.week)
    return WeekAhead(
        week=turn.week,
        name=week_name(turn.week),
        month=f"{place.year:04d}-{place.month:02d}",
        number=place.number,
        of=place.length,
        areas=tuple(
            Share(home.areas[position - 1].id, home.areas[position - 1].name, position, minutes)
            for position, minutes in zip(turn.areas, turn.minutes, strict=True)
        ),
        kind=turn_kind(home, turn),
        declutter=home.declutter is not None and home.declutter.covers(turn.number),
        text=turn_text(home, turn),
    )
