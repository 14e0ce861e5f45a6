"""This week's area: its lists as they stand, and its tasks marked done and taken back."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from coach.areas.answers import AreaTurn, AreaWeekView, WeekTask
from coach.areas.changes import put, set_up_now
from coach.areas.offers import area_offer
from coach.areas.passes import DONE
from coach.areas.plans import kept
from coach.areas.rules.model import TaskList, all_tasks, place_of
from coach.areas.wording import NOT_SET_UP, turn_kind, turn_text, why_text
from coach.course.direction import isolated
from coach.errors import NotEditable, Unknown
from coach.ground.cautions import caution_view
from coach.ground.plan_rows import PlanRow
from coach.ground.situation import EDITABLE_DAYS, is_editable, remembered
from coach.ground.weeks import week_name
from coach.ground.wording import full_date, minutes_words
from coach.ground.writing import Decision, to_plan

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from datetime import date

    from coach.areas.answers import ListName
    from coach.areas.passes import AreaNow
    from coach.areas.rules.packing import LeftTask
    from coach.areas.rules.passes import AreaWeek, Opening
    from coach.areas.rules.plan import Plan
    from coach.ground.ports import Context, Library
    from coach.ground.situation import Situation


def this_week(context: Context, household: str) -> AreaWeekView:
    """This week's area.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: The areas are not set up.
    """
    return remembered(context, household, "area-week", this_week_in)


def this_week_in(where: Situation) -> AreaWeekView:
    """This week's area, out of a situation; the errors are those of `this_week`."""
    return week_view(where, set_up_now(where))


def mark_task(context: Context, household: str, on: date, task: str) -> AreaWeekView:
    """Mark a task done on a date; the same mark again changes nothing.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: The areas are not set up, or they have no such task.
        NotEditable: The date cannot be changed.
    """
    return _marked(context, household, on, task, is_done=True)


def unmark_task(context: Context, household: str, on: date, task: str) -> AreaWeekView:
    """Take that back; without a mark nothing changes.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: The areas are not set up, or they have no such task.
        NotEditable: The date cannot be changed.
    """
    return _marked(context, household, on, task, is_done=False)


def _marked(context: Context, household: str, on: date, task: str, *, is_done: bool) -> AreaWeekView:
    def decide(where: Situation) -> Decision[None]:
        return to_plan(done_rows(where, on, task, is_done=is_done))

    return put(context, household, decide, this_week_in)


def done_rows(where: Situation, on: date, task: str, *, is_done: bool) -> list[PlanRow]:
    """What is written for a task that was done on a date, or was not; nothing where that stands already.

    Whoever writes it keeps the passes up to date (`coach.areas.passes.keep_passes`).

    Raises:
        Unknown: The areas are not set up, or they have no such task.
        NotEditable: The date cannot be changed.
    """
    _check(where, on, task)
    key = f"{on}/{task}"
    if where.plan.holds(DONE, key) == is_done:
        return []
    # Dated on the day it is about, so that kept passes through that day are thrown away.
    return [PlanRow(on, DONE, key, "true" if is_done else "")]


def _check(where: Situation, on: date, task: str) -> None:
    held = kept(where).plan
    if held is None:
        raise Unknown(NOT_SET_UP)
    place_of(held.areas, task)
    if not is_editable(on, where.today, where.standing.started):
        raise NotEditable(
            f"{full_date(on)} cannot be changed. Tasks can be marked for today, {full_date(where.today)}, "
            f"and the {EDITABLE_DAYS} days before it."
        )


def _list_name(which: TaskList) -> ListName:
    return "declutter" if which is TaskList.DECLUTTER else "detail"


def week_view(where: Situation, now: AreaNow) -> AreaWeekView:
    """This week's area."""
    opening, library = now.opening, where.context.library
    home, turn = opening.plan, opening.turn
    turns = tuple(_area_turn(library, home, one, now.done) for one in opening.areas)
    return AreaWeekView(
        week=opening.week,
        name=week_name(opening.week),
        last=opening.last_day,
        today=where.today,
        kind=turn_kind(home, turn),
        text=turn_text(home, turn) or _ordinary(opening),
        list=_list_name(_list(opening)),
        way=home.way.value,
        areas=turns,
        spot=_week_task(library, now.spot, now.done) if now.spot else None,
        done_minutes=sum(task.minutes for task in all_tasks(home.areas) if task.id in now.done),
        days=tuple(_markable(where)),
        minutes=dict(now.minutes),
        why=why_text(opening),
        offers=area_offer(where, now),
    )


def _list(opening: Opening) -> TaskList:
    """The list of all the week's areas; with none, the one of the week."""
    lists = {one.which for one in opening.areas} or {opening.plan.task_list(opening.turn.number)}
    return TaskList.DECLUTTER if lists == {TaskList.DECLUTTER} else TaskList.DETAIL


def _ordinary(opening: Opening) -> str:
    (one,) = opening.areas
    return f"{isolated(one.area.name)} has its turn, for {minutes_words(one.minutes)}."


def _area_turn(library: Library, home: Plan, one: AreaWeek, done: Mapping[str, date]) -> AreaTurn:
    listed, if_time, held_back = (
        tuple(_week_task(library, left, done) for left in part)
        for part in (one.listed, one.if_time, one.held_back)
    )
    return AreaTurn(
        one.area.id,
        one.area.name,
        one.minutes,
        _list_name(one.which),
        one.new_pass,
        listed,
        if_time,
        held_back,
        home.areas.index(one.area) + 1,
    )


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


def _markable(where: Situation) -> Iterator[date]:
    for ago in range(EDITABLE_DAYS + 1):
        day = where.today - timedelta(days=ago)
        if day >= where.standing.started:
            yield day
