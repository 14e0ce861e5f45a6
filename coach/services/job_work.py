"""Working at a job: its lines ticked or left for the next time, its timer started and stopped."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.errors import NotEditable, Unknown
from coach.services.job_facts import TICK, TIMER, job_place, jobs_kept, open_occurrence, tick_key, timer_key
from coach.services.jobs import job
from coach.services.planning import replanned

if TYPE_CHECKING:
    from datetime import date

    from coach.services.job_results import Job, LineState
    from coach.services.planning import Planning
    from coach.services.ports import Context, PlanRow


def tick(
    context: Context, household: str, step: str, line: str, state: LineState | None, on: date | None = None
) -> Job:
    """Tick a line, leave it for the next time, or take either back; the same again changes nothing.

    Only the mark on the step counts for progress (home.md §1); a tick is a help to the people at work.

    Args:
        context: Store, lessons and clock.
        household: Its key.
        step: The job.
        line: The line's id.
        state: `done`, `later`, or None to take it back.
        on: The date of the occurrence that is meant; the open one if none is named.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: There is no such job or line.
        NotEditable: The job is not open, or another occurrence of it is.
    """

    def decide(plan: Planning) -> list[PlanRow]:
        place, kept = job_place(plan, step), jobs_kept(plan)
        since = open_occurrence(plan, place, on)
        if kept.plan(place.step).line(line) is None:
            raise Unknown(f"{place.step.title} has no line “{line[:20]}”. Look at its lines as they are now.")
        if kept.ticks.get((since, step, line)) == state:
            return []
        return [plan.row(TICK, tick_key(since, step, line), state)]

    replanned(context, household, decide)
    return job(context, household, step)


def start_timer(context: Context, household: str, step: str, on: date | None = None) -> Job:
    """Start a job's timer at this instant; one that runs goes on, one that is over starts anew.

    Args:
        context: Store, lessons and clock.
        household: Its key.
        step: The job.
        on: The date of the occurrence that is meant; the open one if none is named.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: There is no such job.
        NotEditable: The job is not open, another occurrence of it is, or it has no end.
    """
    now = context.clock()

    def decide(plan: Planning) -> list[PlanRow]:
        place, kept = job_place(plan, step), jobs_kept(plan)
        since = open_occurrence(plan, place, on)
        if kept.plan(place.step).stop_after is None:
            raise NotEditable(f"{place.step.title} has no end to time. Give it one beside its lines.")
        timer = kept.timer(place.step, since)
        if timer is not None and timer.left(now):
            return []
        return [plan.row(TIMER, timer_key(since, step), now.isoformat(timespec="seconds"))]

    replanned(context, household, decide)
    return job(context, household, step)


def stop_timer(context: Context, household: str, step: str, on: date | None = None) -> Job:
    """Stop a job's timer; without one nothing changes. The errors are those of `start_timer`."""

    def decide(plan: Planning) -> list[PlanRow]:
        place, kept = job_place(plan, step), jobs_kept(plan)
        since = open_occurrence(plan, place, on)
        started = kept.timers.get((since, step))
        return [plan.row(TIMER, timer_key(since, step), None)] if started else []

    replanned(context, household, decide)
    return job(context, household, step)
