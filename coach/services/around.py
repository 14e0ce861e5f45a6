"""What stands around today's habits: this week's area, today's jobs, dinner, the desk, and the day's load."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.services.area_view import week_view
from coach.services.area_week import AREA_STEP, area_now
from coach.services.around_results import Around
from coach.services.job_facts import is_job, jobs_kept
from coach.services.jobs import job_view
from coach.services.kitchen_and_desk import for_today
from coach.services.places import places
from coach.services.planning import planning
from coach.services.week import stamp, week

if TYPE_CHECKING:
    from collections.abc import Iterator

    from coach.progress.standing import StepStanding
    from coach.services.area_results import AreaWeekView
    from coach.services.planning import Planning
    from coach.services.ports import Context
    from coach.services.week_results import WeekDay


def around(context: Context, household: str) -> Around:
    """What stands around the habits of the household's current day, of the pages that are open.

    It costs a read of the household's own row while nothing was written and the minute is the same: a timer
    runs on, and food thaws, without anything being written.

    Raises:
        NotStarted: The household has not chosen its first step.
    """
    minute = context.clock().replace(second=0, microsecond=0)
    version = (stamp(context, household), minute)
    found: Around = context.memo.get(("around", household), version, lambda: _worked_out(context, household))
    return found


def _worked_out(context: Context, household: str) -> Around:
    open_pages = places(context, household).open
    with context.store.reading(household) as reading:
        plan = planning(context, reading)
        area = _area(context, plan) if "areas" in open_pages else None
        kept = jobs_kept(plan)
        jobs = tuple(job_view(context, plan, place, kept) for place in _jobs_today(plan, area))
        kitchen = for_today(context, plan) if {"dinner", "desk"} & set(open_pages) else None
    return Around(
        open=open_pages,
        area=area,
        jobs=jobs,
        kitchen=kitchen,
        load=_load(context, household) if "week" in open_pages else None,
    )


def _area(context: Context, plan: Planning) -> AreaWeekView | None:
    now = area_now(plan)
    return week_view(context.library, plan, now) if now else None


def _jobs_today(plan: Planning, area: AreaWeekView | None) -> Iterator[StepStanding]:
    """The weekday jobs on today's checklist; without the area hour, if the area itself is shown."""
    standing = plan.where.standing
    for step_id in standing.checklist:
        place = standing.steps[step_id]
        if is_job(place.step) and not (area and step_id == AREA_STEP):
            yield place


def _load(context: Context, household: str) -> WeekDay | None:
    return next((day for day in week(context, household).days if day.today), None)
