"""`/jobs/{step}`: a weekday job at work, with its lines, its timer, and its mark."""

from contextlib import suppress
from typing import Annotated, Literal

from fastapi import APIRouter, Form, Path, Request, Response
from pydantic import BaseModel, ConfigDict, Field

from coach.around.about import about_in
from coach.course.direction import isolated
from coach.errors import Malformed, NotEditable, Repeated
from coach.ground.situation import Situation
from coach.habits.answers import MarkName
from coach.web.dates import IsoDate
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.pages.once import OnceDep
from coach.web.pages.seen import SeenForm
from coach.web.pages.ways import see, words
from coach.web.pages.week.days import address, week_page
from coach.web.rendering import MARKS, is_partial, page
from coach.web.showing import View, show
from coach.week import jobs as service
from coach.week import moves as week_moves
from coach.week.answers import Job

router = APIRouter(prefix="/jobs")

StepId = Annotated[str, Path(max_length=100)]
TICKS = {"done": "finished", "later": "left for the next time", "undo": "taken back"}


class TickForm(BaseModel):
    """A line, and what is to become of it; `on` is the occurrence the page was about."""

    model_config = ConfigDict(extra="forbid")

    line: Annotated[str, Field(max_length=20)]
    state: Literal["done", "later", "undo"]
    on: IsoDate | None = None


class TimerForm(BaseModel):
    """The timer started or stopped."""

    model_config = ConfigDict(extra="forbid")

    do: Literal["start", "stop"]
    on: IsoDate | None = None


class MoveForm(SeenForm):
    """A job moved from the date it was shown on; `week` is the one to go back to, empty for the current."""

    on: IsoDate
    to: IsoDate
    week: Annotated[str, Field(max_length=20)] = ""


def _values(job: Job, said: str | None = None) -> dict[str, object]:
    return {
        "job": job,
        "said": said,
        "to_do": [line for line in job.lines if line.state is None],
        "finished": [line for line in job.lines if line.state == "done"],
        "left": [line for line in job.lines if line.state == "later"],
    }


@router.get("/{step}")
def job(
    request: Request, context: ContextDep, household: HouseholdDep, step: StepId, said: str | None = None
) -> Response:
    """The job as it stands at this moment."""

    def view(where: Situation) -> View:
        found = service.job_in(where, step)
        return "week/job.html", _values(found, words(said)) | {"about": about_in(where, found.works_in)}

    return show(request, context, household, view)


def _after(request: Request, job: Job, said: str) -> Response:
    """The job as it now stands for htmx, the way back to its page for everybody else."""
    if is_partial(request):
        return page(request, "week/parts/job_answer.html", _values(job, said))
    return see(f"/jobs/{job.step}")


@router.post("/{step}/marks/{date}")
def mark(
    request: Request,
    context: ContextDep,
    household: HouseholdDep,
    step: StepId,
    date: Annotated[IsoDate, Path()],
    mark: Annotated[MarkName | Literal["undo"], Form()],
) -> Response:
    """Mark the job, which is what counts for progress, or take the mark back."""
    found = service.mark(context, household, step, date, None if mark == "undo" else mark)
    said = "mark taken back" if mark == "undo" else MARKS[mark].lower()
    return _after(request, found, f"{isolated(found.title)}: {said}.")


@router.post("/{step}/ticks")
def tick(
    request: Request,
    context: ContextDep,
    household: HouseholdDep,
    step: StepId,
    form: Annotated[TickForm, Form()],
) -> Response:
    """Tick a line, leave it for the next time, or take either back."""
    state = None if form.state == "undo" else form.state
    found = service.tick(context, household, step, form.line, state, form.on)
    title = next((one.title for one in found.lines if one.line == form.line), form.line)
    return _after(request, found, f"{isolated(title)}: {TICKS[form.state]}.")


@router.post("/{step}/timer")
def timer(
    request: Request,
    context: ContextDep,
    household: HouseholdDep,
    step: StepId,
    form: Annotated[TimerForm, Form()],
) -> Response:
    """Start the timer, or stop it."""
    if form.do == "stop":
        return _after(request, service.stop_timer(context, household, step, form.on), "The timer is stopped.")
    found = service.start_timer(context, household, step, form.on)
    ends = found.timer.ends_text if found.timer else ""
    return _after(request, found, f"The timer runs until {ends}.")


@router.post("/{step}/move")
def move(
    request: Request,
    context: OnceDep,
    household: HouseholdDep,
    step: StepId,
    form: Annotated[MoveForm, Form()],
) -> Response:
    """Move the job to another day of a week."""
    name = form.week or None
    try:
        with suppress(Repeated):
            week_moves.move(context, household, step, form.on, form.to)
    except (Malformed, NotEditable) as error:
        return week_page(request, context, household, name, error)
    return see(address(name), "moved")
