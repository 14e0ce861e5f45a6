"""Weekday jobs: one as it stands today with its lines and its timer, and all of them."""

from __future__ import annotations

from datetime import UTC
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from coach.course.recurrence import in_words
from coach.ground.cautions import caution_view
from coach.ground.situation import looking
from coach.habits.wording import needs
from coach.progress.days import ONE_DAY
from coach.week.job_answers import Job, JobLineView, TimerView
from coach.week.job_facts import comes_next, is_job, job_place, jobs_kept, open_since

if TYPE_CHECKING:
    from datetime import date, datetime

    from coach.course.model import Step
    from coach.ground.ports import Context
    from coach.ground.situation import Situation
    from coach.progress.standing import StepStanding
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
        ends_text=f"{timer.ends.astimezone(ZoneInfo(zone)):%H:%M}",
        minutes_left=timer.minutes_left(now),
        seconds_left=int(left.total_seconds()),
    )
