"""`/jobs/{step}/lines`: what a job consists of, changed in one form."""

from typing import Annotated

from fastapi import APIRouter, Form, Path, Request, Response
from pydantic import BaseModel, ConfigDict

from coach.course.keys import is_blank
from coach.errors import Malformed
from coach.ground.ports import Context
from coach.ground.situation import Situation
from coach.habits import steps
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.pages.fields import whole_minutes
from coach.web.pages.ways import see, words
from coach.web.showing import View, show
from coach.week import jobs as service
from coach.week.jobs import WantedLine

router = APIRouter(prefix="/jobs")

StepId = Annotated[str, Path(max_length=100)]
PLACES = {"up": -1, "down": 1}
NEW = ""


class LinesForm(BaseModel):
    """All lines as typed, the last of them new; a line whose title was emptied goes.

    Attributes:
        line: The lines' ids; empty for a new one.
        do: What was tapped: `save`, or `up:3`, `down:3` or `remove:3` for the line of that id.
    """

    model_config = ConfigDict(extra="forbid")

    line: list[str] = []
    title: list[str] = []
    minutes: list[str] = []
    stop_after: str = ""
    do: str = "save"


def wanted(form: LinesForm) -> list[WantedLine]:
    """The lines as the form has them after the tap.

    Raises:
        Malformed: Fields are missing, or minutes cannot be read.
    """
    if not len(form.line) == len(form.title) == len(form.minutes):
        raise Malformed("A field of the form is missing. Open the page again.")
    typed = zip(form.line, form.title, form.minutes, strict=True)
    lines = [
        WantedLine(line or None, title.strip(), whole_minutes(f"“{title.strip()[:40]}”", minutes) or 0)
        for line, title, minutes in typed
        if not is_blank(title)
    ]
    what, _, line_id = form.do.partition(":")
    by_id = {line.line or NEW: line for line in lines}
    if what not in {*PLACES, "remove"} or line_id not in by_id:
        return lines
    if what == "remove":
        return [line for line in lines if line.line != line_id]
    return _moved(lines, by_id[line_id], PLACES[what])


def _moved(lines: list[WantedLine], line: WantedLine, places: int) -> list[WantedLine]:
    """The lines with one of them moved up or down, if there is a place to move to."""
    place = lines.index(line)
    others = [one for one in lines if one is not line]
    others.insert(max(0, place + places), line)
    return others


def _page(
    request: Request,
    context: Context,
    household: str,
    step: str,
    form: LinesForm | None = None,
    words: tuple[str | None, str | None] = (None, None),
) -> Response:
    """The form: as the job is, or as it was typed; the words are what was done, and what is wrong."""
    said, trouble = words

    def view(where: Situation) -> View:
        job = service.job_in(where, step)
        shown = form or LinesForm(
            line=[line.line for line in job.lines],
            title=[line.title for line in job.lines],
            minutes=[str(line.minutes) for line in job.lines],
            stop_after=str(job.stop_after or ""),
        )
        typed = list(zip(shown.line, shown.title, shown.minutes, strict=False))
        values = {
            "job": job,
            "rows": [row for row in typed if row[0]],
            "new": next((row for row in typed if not row[0]), ("", "", "")),
            "stop_after": shown.stop_after,
            "said": said,
            "trouble": trouble,
        }
        return "week/job_lines.html", values

    return show(request, context, household, view, 422 if trouble else 200)


@router.get("/{step}/lines")
def ask(
    request: Request, context: ContextDep, household: HouseholdDep, step: StepId, said: str | None = None
) -> Response:
    """The lines as they are."""
    return _page(request, context, household, step, words=(words(said), None))


@router.post("/{step}/lines")
def change(
    request: Request,
    context: ContextDep,
    household: HouseholdDep,
    step: StepId,
    form: Annotated[LinesForm, Form()],
) -> Response:
    """Keep the lines as typed, with one of them moved or taken away."""
    try:
        stop_after = whole_minutes("the end", form.stop_after)
        service.change_lines(context, household, step, wanted(form), stop_after)
    except Malformed as error:
        return _page(request, context, household, step, form, (None, str(error)))
    return see(f"/jobs/{step}/lines", "saved")


@router.post("/{step}/lines/restore")
def restore(context: ContextDep, household: HouseholdDep, step: StepId) -> Response:
    """Go back to the lines of the course."""
    service.restore_lines(context, household, step)
    return see(f"/jobs/{step}/lines", "lines-back")


@router.post("/{step}/minutes")
def count(context: ContextDep, household: HouseholdDep, step: StepId) -> Response:
    """Let the week count as many minutes for the job as its lines come to."""
    found = service.job(context, household, step)
    steps.adjust(context, household, step, {"minutes": min(found.lines_minutes, 1440)})
    return see(f"/jobs/{step}/lines", "saved")
