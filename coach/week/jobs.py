"""Weekday jobs: as they stand today, at work with their lines and timers, and their lines changed."""

from __future__ import annotations

from datetime import UTC
from typing import TYPE_CHECKING, NamedTuple

from coach.course.recurrence import in_words
from coach.errors import NotEditable, Unknown
from coach.ground.cautions import caution_view
from coach.ground.offers import offer
from coach.ground.parts import part_of
from coach.ground.situation import looking
from coach.ground.writing import Decision, to_plan, written
from coach.habits.marks import Marking, marked
from coach.habits.wording import needs
from coach.progress.days import ONE_DAY, place_of
from coach.week.answers import Job, JobLineView, TimerView
from coach.week.job_facts import (
    JOB,
    TICK,
    TIMER,
    as_shipped,
    comes_next,
    is_job,
    job_place,
    jobs_kept,
    open_occurrence,
    open_since,
    plan_values,
)
from coach.week.rules.jobs import changed
from coach.week.wording import done_text

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date, datetime

    from coach.course.model import Step
    from coach.ground.ports import Context
    from coach.ground.situation import Situation
    from coach.habits.answers import MarkName
    from coach.progress.standing import StepStanding
    from coach.week.answers import LineState
    from coach.week.job_facts import JobsKept
    from coach.week.rules.jobs import JobLine, Timer


def job(context: Context, household: str, step: str) -> Job:
    """A weekday job as it stands at this moment.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: There is no such step, or it comes more often than weekly.
    """
    with looking(context, household) as where:
        return job_in(where, step)


def job_in(where: Situation, step: str) -> Job:
    """A weekday job as it stands at this moment, out of a situation; the errors are those of `job`."""
    return job_view(where, job_place(where, step), jobs_kept(where))


def jobs(context: Context, household: str) -> tuple[Job, ...]:
    """The weekday jobs that have come and are not set aside, in course order.

    Raises:
        NotStarted: The household has not chosen its first step.
    """
    with looking(context, household) as where:
        kept = jobs_kept(where)
        come = [place for place in where.standing.steps.values() if place.introduced_on is not None]
        return tuple(
            job_view(where, place, kept) for place in come if not place.set_aside and is_job(place.step)
        )


def mark(context: Context, household: str, step: str, on: date, mark: MarkName | None) -> Job:
    """Mark a job on a date, or with None take its mark back; the errors are those of `job` and of `mark`."""

    def job_today(where: Situation) -> Job:
        return job_in(where.at(where.today), step)

    return marked(context, household, Marking(on, step, mark), job_today)


def tick(
    context: Context, household: str, step: str, line: str, state: LineState | None, on: date | None = None
) -> Job:
    """Tick a line, leave it for the next time, or take either back; the same again changes nothing.

    Only the mark on the step counts for progress (home rules); a tick is a help to the people at work.

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
        if kept.ticks.get((since, place.step.id, line)) == state:
            return to_plan([])
        return to_plan([where.row(TICK, kept.tick_key(since, place.step.id, line), state)])

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
        key = kept.timer_key(since, place.step.id)
        return to_plan([where.row(TIMER, key, now.isoformat(timespec="seconds"))])

    return written(context, household, decide, lambda where, _: job_in(where, step))


def stop_timer(context: Context, household: str, step: str, on: date | None = None) -> Job:
    """Stop a job's timer; without one nothing changes. The errors are those of `start_timer`."""

    def decide(where: Situation) -> Decision[None]:
        place, kept = job_place(where, step), jobs_kept(where)
        since = open_occurrence(where, place, on)
        key, started = kept.timer_key(since, place.step.id), kept.timers.get((since, place.step.id))
        return to_plan([where.row(TIMER, key, None)] if started else [])

    return written(context, household, decide, lambda where, _: job_in(where, step))


class WantedLine(NamedTuple):
    """A line as the household wants it; `line` is its id, or None for a new one."""

    line: str | None
    title: str
    minutes: int


def change_lines(
    context: Context, household: str, step: str, lines: Sequence[WantedLine], stop_after: int | None
) -> Job:
    """Give a job these lines in this order, and this end; what was ticked stays ticked.

    Args:
        context: Store, lessons and clock.
        household: Its key.
        step: The job.
        lines: All of them; those left out go.
        stop_after: Minutes after which the job ends; None for no end.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: There is no such job.
        Malformed: A line or a number cannot be used.
    """

    def decide(where: Situation) -> Decision[None]:
        place = job_place(where, step)
        before = jobs_kept(where).plan(place.step)
        after = changed(before, lines, stop_after)
        return to_plan([] if after == before else [where.row(JOB, place.step.id, plan_values(after))])

    return written(context, household, decide, lambda where, _: job_in(where, step))


def restore_lines(context: Context, household: str, step: str) -> Job:
    """Go back to the lines and the end that the step has of itself.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: There is no such job.
    """

    def decide(where: Situation) -> Decision[None]:
        name, plans = job_place(where, step).step.id, jobs_kept(where).plans
        return to_plan([where.row(JOB, name, as_shipped(plans[name]))] if name in plans else [])

    return written(context, household, decide, lambda where, _: job_in(where, step))


def job_view(where: Situation, place: StepStanding, kept: JobsKept) -> Job:
    """A job as pages and JSON show it."""
    step, since, coming = place.step, open_since(where, place), comes_next(where, place)
    how = kept.plan(step)
    mark = where.standing.marks.get(step.id) if since else None
    lines = tuple(_line(kept, step, line, since, where.today) for line in how.lines)
    return Job(
        step=step.id,
        title=step.title,
        cue=step.cue,
        small=step.small,
        minutes=step.minutes,
        repeats_text=in_words(step.repeats),
        caution=caution_view(where.context.library, step.caution),
        today=where.today,
        state="set-aside" if place.set_aside else place.state.value,
        needs=needs(where.standing, place),
        open_since=since,
        open_until=coming - ONE_DAY if since and coming else None,
        next=coming,
        mark=mark.value if mark else None,
        lines=lines,
        done=sum(line.state == "done" for line in lines),
        lines_minutes=how.minutes,
        own_lines=step.id in kept.plans,
        stop_after=how.stop_after,
        timer=_timer(where, kept, step, since) if since else None,
        works_in=part_of(step),
        offers=offer(where, place, text) if since and not mark and (text := done_text(lines)) else None,
    )


def _line(kept: JobsKept, step: Step, line: JobLine, since: date | None, today: date) -> JobLineView:
    return JobLineView(
        line=line.id,
        title=line.title,
        minutes=line.minutes,
        state=kept.ticks.get((since, step.id, line.id)) if since else None,
        left_on=kept.left_on(step.id, line.id, since or today + ONE_DAY),
    )


def _timer(where: Situation, kept: JobsKept, step: Step, since: date) -> TimerView | None:
    stop_after = kept.plan(step).stop_after
    if stop_after is None:
        return None
    timer = kept.timer(step, since)
    if timer is None:
        return TimerView("ready", stop_after, None, None, None, None, None)
    return _running(timer, where.context.clock(), where.home.zone)


def _running(timer: Timer, now: datetime, zone: str) -> TimerView:
    left = timer.left(now)
    return TimerView(
        state="running" if left else "over",
        stop_after=timer.stop_after,
        started_at=timer.started.astimezone(UTC),
        ends_at=timer.ends.astimezone(UTC),
        ends_text=f"{timer.ends.astimezone(place_of(zone)):%H:%M}",
        minutes_left=timer.minutes_left(now),
        seconds_left=int(left.total_seconds()),
    )
