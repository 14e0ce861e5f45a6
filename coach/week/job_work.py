"""Working at a job: its lines ticked or left for the next time, its timer started and stopped."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.errors import NotEditable, Unknown
from coach.ground.writing import Decision, to_plan, written
from coach.habits.marks import Marking, marked
from coach.week.job_facts import TICK, TIMER, job_place, jobs_kept, open_occurrence, tick_key, timer_key
from coach.week.jobs import job_in

if TYPE_CHECKING:
    from datetime import date

    from coach.ground.ports import Context
    from coach.ground.situation import Situation
    from coach.habits.answers import MarkName
    from coach.week.job_answers import Job, LineState


def mark(context: Context, household: str, step: str, on: date, mark: MarkName | None) -> Job:
    """Mark a job on a date, or with None take its mark back; the errors are those of `job` and of `mark`."""

    def job_today(where: Situation) -> Job:
        return job_in(where.at(where.today), step)

    return marked(context, household, Marking(on, step, mark), job_today)


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

    def decide(where: Situation) -> Decision[None]:
        place, kept = job_place(where, step), jobs_kept(where)
        since = open_occurrence(where, place, on)
        if kept.plan(place.step).line(line) is None:
            raise Unknown(f"{place.step.title} has no line “{line[:20]}”. Look at its lines as they are now.")
        if kept.ticks.get((since, step, line)) == state:
            return to_plan([])
        return to_plan([where.row(TICK, tick_key(since, step, line), state)])

    return written(context, household, decide, lambda where, _: job_in(where, step))


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

    def decide(where: Situation) -> Decision[None]:
        place, kept = job_place(where, step), jobs_kept(where)
        since = open_occurrence(where, place, on)
        if kept.plan(place.step).stop_after is None:
            raise NotEditable(f"{place.step.title} has no end to time. Give it one beside its lines.")
        timer = kept.timer(place.step, since)
        if timer is not None and timer.left(now):
            return to_plan([])
        return to_plan([where.row(TIMER, timer_key(since, step), now.isoformat(timespec="seconds"))])

    return written(context, household, decide, lambda where, _: job_in(where, step))


def stop_timer(context: Context, household: str, step: str, on: date | None = None) -> Job:
    """Stop a job's timer; without one nothing changes. The errors are those of `start_timer`."""

    def decide(where: Situation) -> Decision[None]:
        place, kept = job_place(where, step), jobs_kept(where)
        since = open_occurrence(where, place, on)
        started = kept.timers.get((since, step))
        return to_plan([where.row(TIMER, timer_key(since, step), None)] if started else [])

    return written(context, household, decide, lambda where, _: job_in(where, step))
