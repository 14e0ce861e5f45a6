"""`/days`: the days before today in one grid, a box for each line and day."""

from collections.abc import Iterator
from datetime import date
from http import HTTPStatus
from itertools import groupby
from typing import Annotated

from fastapi import APIRouter, Form, Path, Request, Response
from pydantic import BaseModel, ConfigDict

from coach.course.direction import isolated
from coach.errors import Malformed, Newer
from coach.ground.ports import Context
from coach.ground.situation import looking
from coach.ground.wording import long_date
from coach.habits import before
from coach.habits.gone_by import DaysBefore
from coach.habits.hands import Tap
from coach.web.dates import IsoDate
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.pages.fields import SeenVersion
from coach.web.pages.habits import meanwhile
from coach.web.pages.habits.meanwhile import Both
from coach.web.pages.ways import see
from coach.web.rendering import is_partial, page
from coach.web.showing import show

router = APIRouter(prefix="/days")

StepId = Annotated[str, Path(max_length=100)]


class BoxForm(BaseModel):
    """A tap on a box: the day kept, the one whose mark is taken back, or another one's that stays."""

    model_config = ConfigDict(extra="forbid")

    kept: IsoDate | None = None
    undo: IsoDate | None = None
    theirs: IsoDate | None = None
    shape: str = ""
    seen_version: SeenVersion = None


@router.get("")
def days(request: Request, context: ContextDep, household: HouseholdDep) -> Response:
    """The days before today that can still be filled in."""
    return show(
        request,
        context,
        household,
        lambda where: ("habits/before.html", _values(before.days_before_in(where))),
    )


@router.post("/lines/{step}")
def tap(
    request: Request,
    context: ContextDep,
    household: HouseholdDep,
    step: StepId,
    form: Annotated[BoxForm, Form()],
) -> Response:
    """One tap on a box: its line as it now stands for htmx, the way back to it for everybody else."""
    both, tap, on = None, Tap(form.seen_version), form.kept or form.undo
    try:
        found = _tapped(context, household, step, form, tap)
    except Newer as error:
        if on is None:
            raise
        found, both, whole = meanwhile.of_grid(request, error, on, "kept" if form.kept else "undo")
        if whole is not None:
            return whole
    if not is_partial(request):
        return see(f"/days#line-{step}")
    return _answer(request, found, step, form, both)


def _tapped(context: Context, household: str, step: str, form: BoxForm, tap: Tap) -> DaysBefore:
    """The days as they stand after a tap."""
    if form.kept:
        return before.keep(context, household, form.kept, step, tap)
    if form.undo:
        return before.take_back(context, household, form.undo, step, tap)
    if form.theirs:
        with looking(context, household) as where:
            return before.days_before_in(where)
    raise Malformed("No day was named. Tap one of the boxes of the line.")


def _answer(request: Request, found: DaysBefore, step: str, form: BoxForm, both: Both | None) -> Response:
    """The line as it now stands, or the whole grid where more than the line has changed."""
    line = found.line(step)
    title = isolated(line.title) if line else step
    status = HTTPStatus.CONFLICT if both else HTTPStatus.OK
    values = _values(found) | {"line": line, "said": _said(title, form, both), "both": both}
    if line is None or found.shape != form.shape:
        # The mark has changed more than its own line: a weekly one is off the days after it, say.
        whole = {"HX-Retarget": "#grid", "HX-Reswap": "innerHTML"}
        return page(request, "habits/parts/grid_answer.html", values | {"line": None}, status, headers=whole)
    return page(request, "habits/parts/grid_answer.html", values, status)


def _said(title: str, form: BoxForm, both: Both | None) -> str:
    if both:
        return ""
    if form.kept:
        return f"{title}, {long_date(form.kept)}: kept."
    return f"{title}: mark taken back." if form.undo else f"{title}: left as it is."


def _values(found: DaysBefore) -> dict[str, object]:
    return {"grid": found, "away": [_stretch(stretch) for stretch in _stretches(found)]}


def _stretches(found: DaysBefore) -> Iterator[list[date]]:
    """The days away, those that follow one another together."""
    for away, columns in groupby(found.columns, key=lambda column: column.away):
        if away:
            yield [column.date for column in columns]


def _stretch(days: list[date]) -> str:
    if len(days) == 1:
        return f"on {long_date(days[0])}"
    return f"from {long_date(days[0])} to {long_date(days[-1])}"
