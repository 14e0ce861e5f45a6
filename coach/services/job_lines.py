"""A job's lines and its end as the household wants them, and the way back to those of the course."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from coach.home.jobs import changed
from coach.services.job_facts import JOB, as_shipped, job_place, jobs_kept, plan_values
from coach.services.jobs import job
from coach.services.planning import replanned

if TYPE_CHECKING:
    from collections.abc import Sequence

    from coach.services.job_results import Job
    from coach.services.planning import Planning
    from coach.services.ports import Context, PlanRow


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

    def decide(plan: Planning) -> list[PlanRow]:
        place = job_place(plan, step)
        before = jobs_kept(plan).plan(place.step)
        after = changed(before, wanted, stop_after)
        return [] if after == before else [plan.row(JOB, step, plan_values(after))]

    replanned(context, household, decide)
    return job(context, household, step)


def restore_lines(context: Context, household: str, step: str) -> Job:
    """Go back to the lines and the end that the step has of itself.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: There is no such job.
    """

    def decide(plan: Planning) -> list[PlanRow]:
        kept, _ = jobs_kept(plan), job_place(plan, step)
        return [plan.row(JOB, step, as_shipped(kept.plans[step]))] if step in kept.plans else []

    replanned(context, household, decide)
    return job(context, household, step)
