"""`/api/jobs`: weekday jobs with their lines, ticks and timers."""

from dataclasses import dataclass
from typing import Annotated

from fastapi import APIRouter, Path, Query, Response
from pydantic import TypeAdapter

from coach.ground.ports import Context
from coach.ground.situation import Situation
from coach.ground.weeks import week_name, week_of
from coach.web.api.answers import StepId, problems, written
from coach.web.api.seen import IfMatch, matching, tagged
from coach.web.api.strictness import StrictRoute
from coach.web.api.week.bodies import LinesBody, MoveBody, Occurrence, TickBody, TimerBody
from coach.web.api.week.days import WEEK
from coach.web.deps import ContextDep, HouseholdDep
from coach.week import days as week
from coach.week import jobs as service
from coach.week import moves as week_moves
from coach.week.answers import Job, Week

router = APIRouter(prefix="/jobs", tags=["jobs"], route_class=StrictRoute)

JOB = TypeAdapter(Job)
JOBS = TypeAdapter(tuple[Job, ...])

LineId = Annotated[str, Path(description="The line's id, as in `lines`.", max_length=20)]
On = Annotated[Occurrence, Query()]

ERRORS = problems("not-started", "unknown")
WORK_ERRORS = problems("not-started", "unknown", "not-editable")
LINE_ERRORS = problems("not-started", "unknown", "outdated")
MOVE_ERRORS = problems("not-started", "unknown", "not-editable", "outdated")


@dataclass(frozen=True, slots=True)
class Lines:
    """What a PUT of a job's lines replaces; the timer and the ticks of the same answer are none of it."""

    lines: tuple[tuple[str, str, int], ...]
    stop_after: int | None


LINES = TypeAdapter(Lines)


def _lines(job: Job) -> Lines:
    lines = tuple((line.line, line.title, line.minutes) for line in job.lines)
    return Lines(lines, job.stop_after)


def _seen(context: Context, if_match: str | None, step: str) -> Context:
    return matching(context, if_match, LINES, lambda where: _lines(service.job_in(where, step)))


@router.get("", response_model=list[Job], responses=problems("not-started"))
def jobs(context: ContextDep, household: HouseholdDep) -> Response:
    """The weekday jobs that have come and are not set aside, in course order."""
    return written(JOBS, service.jobs(context, household))


@router.get("/{step}", response_model=Job, responses=ERRORS)
def job(context: ContextDep, household: HouseholdDep, step: StepId) -> Response:
    """A weekday job as it stands at this moment; its ETag is that of its lines and its end alone."""
    found = service.job(context, household, step)
    return tagged(JOB, found, LINES.dump_json(_lines(found)))


@router.post("/{step}/move", response_model=Week, responses=MOVE_ERRORS)
def move(
    context: ContextDep, household: HouseholdDep, step: StepId, body: MoveBody, if_match: IfMatch = None
) -> Response:
    """Move a job to another day of a week, from today on; the answer is that week as it now stands."""

    def the_week(where: Situation) -> Week:
        return week.week_in(where, week_name(week_of(body.on, where.starts)))

    seen = matching(context, if_match, WEEK, the_week)
    name = week_moves.move(seen, household, step, body.on, body.to)
    return written(WEEK, week.week(context, household, name))


@router.put("/{step}/lines", response_model=Job, responses=LINE_ERRORS)
def put_lines(
    context: ContextDep, household: HouseholdDep, step: StepId, body: LinesBody, if_match: IfMatch = None
) -> Response:
    """Give a job these lines in this order, and this end; lines left out go."""
    lines = [service.WantedLine(line.line, line.title, line.minutes) for line in body.lines]
    return written(
        JOB, service.change_lines(_seen(context, if_match, step), household, step, lines, body.stop_after)
    )


@router.delete("/{step}/lines", response_model=Job, responses=LINE_ERRORS)
def delete_lines(
    context: ContextDep, household: HouseholdDep, step: StepId, if_match: IfMatch = None
) -> Response:
    """Go back to the lines and the end that the step has of itself."""
    return written(JOB, service.restore_lines(_seen(context, if_match, step), household, step))


@router.put("/{step}/ticks/{line}", response_model=Job, responses=WORK_ERRORS)
def put_tick(
    context: ContextDep, household: HouseholdDep, step: StepId, line: LineId, body: TickBody
) -> Response:
    """Tick a line of the open occurrence, or leave it for the next time."""
    return written(JOB, service.tick(context, household, step, line, body.state, body.on))


@router.delete("/{step}/ticks/{line}", response_model=Job, responses=WORK_ERRORS)
def delete_tick(
    context: ContextDep, household: HouseholdDep, step: StepId, line: LineId, on: On = None
) -> Response:
    """Take back a tick, or what was left."""
    return written(JOB, service.tick(context, household, step, line, None, on))


@router.put("/{step}/timer", response_model=Job, responses=WORK_ERRORS)
def put_timer(
    context: ContextDep, household: HouseholdDep, step: StepId, body: TimerBody | None = None
) -> Response:
    """Start the timer now; one that runs goes on, one that is over starts anew."""
    return written(JOB, service.start_timer(context, household, step, body.on if body else None))


@router.delete("/{step}/timer", response_model=Job, responses=WORK_ERRORS)
def delete_timer(context: ContextDep, household: HouseholdDep, step: StepId, on: On = None) -> Response:
    """Stop the timer."""
    return written(JOB, service.stop_timer(context, household, step, on))
