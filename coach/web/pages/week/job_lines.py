"""`/jobs/{step}/lines`: what a job consists of, changed in one form."""

from contextlib import suppress
from dataclasses import dataclass
from typing import Annotated

from fastapi import APIRouter, Form, Path, Request, Response
from pydantic import Field

from coach.course.definition import MINUTES_A_DAY
from coach.errors import Malformed, NotEditable, Repeated
from coach.ground.ports import Context
from coach.ground.situation import Situation
from coach.habits import steps
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.pages.once import OnceDep
from coach.web.pages.seen import Clash, Fields, SeenForm, Shown, Values, holding, put, seen_text
from coach.web.pages.ways import see, words
from coach.web.pages.week import line_form
from coach.web.pages.week.line_form import END, LinesForm, Sent
from coach.web.showing import View, show
from coach.week import jobs as service
from coach.week.answers import Job

router = APIRouter(prefix="/jobs")

StepId = Annotated[str, Path(max_length=100)]
LINES_CHANGED = (
    "Somebody has changed these lines since this page was opened, so they stay. "
    "Look at them as they are now; going back is still possible."
)


class CountForm(SeenForm):
    """The minutes that the lines come to, as the button said; none: as they come to now."""

    minutes: Annotated[int | None, Field(ge=0, le=MINUTES_A_DAY)] = None


class RestoreForm(SeenForm):
    """Own lines given up."""


@dataclass(frozen=True, slots=True)
class Pages:
    """What the page shows beside the job as it is.

    Attributes:
        lines: The form of the lines as it was typed; none: as they are.
        counted: The form of the minutes where two people changed them.
    """

    lines: Shown[LinesForm] | None = None
    counted: Shown[CountForm] | None = None
    said: str | None = None
    trouble: str | None = None
    status: int = 200


def lines_shown(job: Job) -> Values:
    """A job's lines and its end, for a tap that holds for those that were shown."""
    return line_form.values_of(job, [line.line for line in job.lines])


def _lines_minutes(job: Job) -> int:
    return min(job.lines_minutes, MINUTES_A_DAY)


def minutes_shown(job: Job) -> Values:
    """The minutes that the week counts for a job."""
    return {"minutes": str(job.minutes)}


def _page(request: Request, context: Context, household: str, step: str, pages: Pages) -> Response:
    """The form: as the job is, or as it was typed."""

    def view(where: Situation) -> View:
        job = service.job_in(where, step)
        shown = pages.lines or line_form.shown_as_it_is(job)
        typed = list(zip(shown.form.line, shown.form.title, shown.form.minutes, strict=False))
        values = {
            "job": job,
            "shown": shown,
            "rows": [row for row in typed if row[0]],
            "new": next((row for row in typed if not row[0]), ("", "", "")),
            "restore_seen": seen_text(lines_shown(job)),
            "counted": pages.counted
            or Shown(CountForm(minutes=_lines_minutes(job)), seen_text(minutes_shown(job))),
            "said": pages.said,
            "trouble": pages.trouble or shown.trouble,
        }
        return "week/job_lines.html", values

    return show(request, context, household, view, pages.status)


@router.get("/{step}/lines")
def ask(
    request: Request, context: ContextDep, household: HouseholdDep, step: StepId, said: str | None = None
) -> Response:
    """The lines as they are."""
    return _page(request, context, household, step, Pages(said=words(said)))


@router.post("/{step}/lines")
def change(
    request: Request,
    context: OnceDep,
    household: HouseholdDep,
    step: StepId,
    form: Annotated[LinesForm, Form()],
) -> Response:
    """Keep the lines as typed, with one of them moved or taken away."""
    try:
        sent = Sent.of(form)
        with suppress(Repeated):
            _save(context, household, step, sent)
    except Clash as clash:
        return _page(request, context, household, step, Pages(line_form.shown_again(clash, sent), status=409))
    except (Malformed, NotEditable) as error:
        typed = Shown(form, form.seen, trouble=str(error))
        return _page(request, context, household, step, Pages(typed, status=422))
    return see(f"/jobs/{step}/lines", "saved")


def _save(context: Context, household: str, step: str, sent: Sent) -> None:
    def write(guarded: Context, values: Values) -> None:
        stop_after = int(values[END]) if values[END] else None
        service.change_lines(guarded, household, step, sent.lines_of(values), stop_after)

    fields = Fields(
        lambda where: line_form.values_of(service.job_in(where, step), sent.form.shown),
        sent.label,
        sent.words,
    )
    put(context, household, sent.form, sent.values, fields, write)


@router.post("/{step}/lines/restore")
def restore(
    request: Request,
    context: OnceDep,
    household: HouseholdDep,
    step: StepId,
    form: Annotated[RestoreForm, Form()],
) -> Response:
    """Go back to the lines of the course, from those that were shown."""

    def lines(where: Situation) -> Values:
        return lines_shown(service.job_in(where, step))

    try:
        with suppress(Repeated):
            service.restore_lines(holding(context, form.seen, lines, LINES_CHANGED), household, step)
    except NotEditable as error:
        return _page(request, context, household, step, Pages(trouble=str(error), status=409))
    return see(f"/jobs/{step}/lines", "lines-back")


@router.post("/{step}/minutes")
def count(
    request: Request,
    context: ContextDep,
    household: HouseholdDep,
    step: StepId,
    form: Annotated[CountForm, Form()],
) -> Response:
    """Let the week count as many minutes for the job as its lines come to, as the page said."""

    def write(guarded: Context, values: Values) -> None:
        steps.adjust(guarded, household, step, {"minutes": int(values["minutes"])})

    minutes = form.minutes
    if minutes is None:
        minutes = _lines_minutes(service.job(context, household, step))
    try:
        put(context, household, form, {"minutes": str(minutes)}, _minutes(step), write)
    except Clash as clash:
        counted = Shown(CountForm(minutes=minutes), seen_text(clash.now), clash.both)
        return _page(request, context, household, step, Pages(counted=counted, status=409))
    return see(f"/jobs/{step}/lines", "saved")


def _minutes(step: str) -> Fields:
    return Fields(
        lambda where: minutes_shown(service.job_in(where, step)), lambda _: "Minutes the week counts"
    )
