"""What is known of weekday jobs: which steps are, whether one is open, and what the plan keeps of it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING, Any

from coach.course.recurrence import next_fall
from coach.course.shapes import required, shape
from coach.errors import NotEditable, Unknown
from coach.ground.plan_rows import Asked, dated_keys
from coach.ground.wording import whole_date
from coach.progress.opening import Phase
from coach.progress.standing import ON_THE_LIST
from coach.week.rules.jobs import JobLine, JobPlan, Timer, is_job_rule, plan_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    from coach.course.model import Step
    from coach.ground.situation import Situation
    from coach.progress.standing import StepStanding
    from coach.week.answers import LineState

JOB, TICK, TIMER = "job", "tick", "timer"
# A line left for the next time is remembered over this many days: longer than a quarter of a year.
_LOOK_BACK = timedelta(days=100)

Tick = tuple[date, str, str]
"""The date of an occurrence, a step's id and a line's id."""


_KEPT = shape({"lines": ([[str, str, int]], None), "stop_after": (int, None), "next": int})


def is_job(step: Step) -> bool:
    """Whether a step is a weekday job."""
    return is_job_rule(step.repeats)


def job_place(where: Situation, step: str) -> StepStanding:
    """Where a weekday job stands.

    Raises:
        Unknown: There is no such step, or it comes more often than weekly.
    """
    place = where.standing.place(step)
    if place is None:
        raise Unknown(f"There is no step “{step}” here. The path shows all there are.")
    if not is_job(place.step):
        raise Unknown(
            f"{place.step.title} comes more often than weekly, so it is no weekday job. "
            "Its days are changed on its own page, which the path leads to."
        )
    return place


def open_since(where: Situation, place: StepStanding) -> date | None:
    """The date a job's open occurrence fell on; None if there is none, and on days away."""
    on_the_way = place.state in ON_THE_LIST
    away = where.standing.phase in {Phase.PAUSED, Phase.LAPSED}
    return place.open_since if on_the_way and not away else None


def held(where: Situation) -> frozenset[str]:
    """The steps due today and marked, which are not moved today: on another day the mark would not count."""
    standing = where.standing
    places = ((step, standing.steps[step]) for step in standing.marks)
    return frozenset(step for step, place in places if place.open_since == standing.on)


def comes_next(where: Situation, place: StepStanding) -> date | None:
    """The first date after today on which a job falls; None if it has not come or is set aside."""
    start = place.introduced_on
    return next_fall(place.step.repeats, start, where.today) if start and not place.set_aside else None


def open_occurrence(where: Situation, place: StepStanding, on: date | None) -> date:
    """The date of a job's open occurrence, which has to be the one that is meant.

    Raises:
        NotEditable: The job is not open, or another occurrence of it is.
    """
    since, coming = open_since(where, place), comes_next(where, place)
    if since is None:
        when = f" It comes next on {whole_date(coming)}." if coming else ""
        raise NotEditable(f"{place.step.title} is not open today, so nothing can be ticked or timed.{when}")
    if on is not None and on != since:
        ours, theirs = whole_date(since), whole_date(on)
        raise NotEditable(f"{place.step.title} of {theirs} is over; the one open now is of {ours}.")
    return since


@dataclass(frozen=True, slots=True)
class JobsKept:
    """What the plan keeps about jobs.

    Attributes:
        plans: A job's lines and end where the household has changed them.
        next_ids: Numbers for new lines where some were added before, so that no number is used twice.
        ticks: The state of lines, for occurrences of the latest weeks.
        timers: When an occurrence's timer was started.
        keys: The keys in the plan of ticks and timers, where they were written under a step's former id.
    """

    plans: Mapping[str, JobPlan]
    next_ids: Mapping[str, int]
    ticks: Mapping[Tick, LineState]
    timers: Mapping[tuple[date, str], datetime]
    keys: Mapping[tuple[date, str, str] | tuple[date, str], str]

    def plan(self, step: Step) -> JobPlan:
        """How a job is done: as the household changed it, else as it is shipped."""
        if step.id in self.plans:
            return self.plans[step.id]
        shipped = plan_of(step)
        return replace(shipped, next_id=max(shipped.next_id, self.next_ids.get(step.id, 1)))

    def timer(self, step: Step, since: date) -> Timer | None:
        """The timer of an occurrence, if it was started and the job has an end."""
        started, stop_after = self.timers.get((since, step.id)), self.plan(step).stop_after
        return Timer(started, stop_after) if started and stop_after else None

    def tick_key(self, since: date, step: str, line: str) -> str:
        """The key of a line's state at an occurrence."""
        return self.keys.get((since, step, line), f"{since}/{step}/{line}")

    def timer_key(self, since: date, step: str) -> str:
        """The key of an occurrence's timer."""
        return self.keys.get((since, step), f"{since}/{step}")

    def left_on(self, step: str, line: str, before: date) -> date | None:
        """The date of the latest earlier occurrence at which a line was left, unless it was done since."""
        told = [on for on, of, at in self.ticks if (of, at) == (step, line) and on < before]
        latest = max(told, default=None)
        return latest if latest and self.ticks[latest, step, line] == "later" else None


def needed(where: Situation) -> tuple[Asked, Asked, Asked]:
    """What of the plan is about jobs: their own lines, ticks and timers."""
    recent = dated_keys(where.today - _LOOK_BACK, where.today)
    return Asked(JOB), Asked(TICK, *recent), Asked(TIMER, *recent)


def jobs_kept(where: Situation) -> JobsKept:
    """What is kept about all jobs now, by the present ids of their steps."""
    asked_plans, asked_ticks, asked_timers = needed(where)
    where.plan.fetch([asked_plans, asked_ticks, asked_timers])
    jobs = where.plan.read(JOB, _job, *asked_plans[1:])
    # What was written under the present id, since the change, wins over what a former id has.
    jobs = {_present(where, step): job for step, job in jobs.items() if _present(where, step) != step} | jobs
    ticks = where.plan.read(TICK, _ticked, *asked_ticks[1:])
    timers = where.plan.read(TIMER, _timed, *asked_timers[1:])
    tick_of = {key: (on, _present(where, step), line) for key, ((on, step, line), _) in ticks.items()}
    timer_of = {key: (on, _present(where, step)) for key, ((on, step), _) in timers.items()}
    return JobsKept(
        plans={step: plan for step, (plan, _) in jobs.items() if plan is not None},
        next_ids={step: following for step, (_, following) in jobs.items()},
        ticks={tick_of[key]: state for key, (_, state) in ticks.items()},
        timers={timer_of[key]: instant for key, (_, instant) in timers.items()},
        keys={what: key for of in (tick_of, timer_of) for key, what in of.items()},
    )


def _present(where: Situation, step: str) -> str:
    """The present id of a step that the plan names, perhaps by a former one."""
    place = where.standing.place(step)
    return step if place is None else place.step.id


def _ticked(key: str, value: LineState) -> tuple[Tick, LineState]:
    if value not in {"done", "later"}:
        raise ValueError("A line is done, or left for later.")
    return _tick(key), value


def _timed(key: str, value: str) -> tuple[tuple[date, str], datetime]:
    instant = datetime.fromisoformat(value)
    if instant.tzinfo is None:
        raise ValueError("An instant has its offset from UTC.")
    return _tick(key)[:2], instant


def _tick(key: str) -> Tick:
    on, step, *line = key.split("/")
    return date.fromisoformat(on), step, "".join(line)


def _job(_step: str, value: dict[str, Any]) -> tuple[JobPlan | None, int]:
    """A job as the household has changed it, if it has, and the number of its next new line."""
    required(value, _KEPT)
    following: int = value["next"]
    if value["lines"] is None:
        return None, following
    return JobPlan(
        tuple(JobLine(*line) for line in value["lines"]), value["stop_after"], following
    ), following


def as_shipped(plan: JobPlan) -> dict[str, object]:
    """What is kept of a job that goes back to its step's own lines: which numbers have been used."""
    return {"lines": None, "stop_after": None, "next": plan.next_id}


def plan_values(plan: JobPlan) -> dict[str, object]:
    """A job's lines and end as JSON values."""
    lines = [[line.id, line.title, line.minutes] for line in plan.lines]
    return {"lines": lines, "stop_after": plan.stop_after, "next": plan.next_id}
