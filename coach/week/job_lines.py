"""A job's lines and its end as the household wants them, and the way back to those of the course."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from coach.ground.writing import Decision, to_plan, written
from coach.week.job_facts import JOB, as_shipped, job_place, jobs_kept, plan_values
from coach.week.jobs import job_in
from coach.week.rules.jobs import changed

if TYPE_CHECKING:
    from collections.abc import Sequence

    from coach.ground.ports import Context
    from coach.ground.situation import Situation
    from coach.week.job_answers import Job


@dataclass(frozen=True, slots=True)
class WantedLine:
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
    wanted = [(line.line, line.title, line.minutes) for line in lines]

    def decide(where: Situation) -> Decision[None]:
        place = job_place(where, step)
        before = jobs_kept(where).plan(place.step)
        after = changed(before, wanted, stop_after)
        return to_plan([] if after == before else [where.row(JOB, step, plan_values(after))])

    return written(context, household, decide, lambda where, _: job_in(where, step))


def restore_lines(context: Context, household: str, step: str) -> Job:
    """Go back to the lines and the end that the step has of itself.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: There is no such job.
    """

    def decide(where: Situation) -> Decision[None]:
        kept, _ = jobs_kept(where), job_place(where, step)
        return to_plan([where.row(JOB, step, as_shipped(kept.plans[step]))] if step in kept.plans else [])

    return written(context, household, decide, lambda where, _: job_in(where, step))
