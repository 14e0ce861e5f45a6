"""`/days`: the days before today in one grid, a box for each line and day."""

from collections.abc import Iterator
from datetime import date
from itertools import groupby
from typing import Annotated

from fastapi import APIRouter, Form, Path, Request, Response
from pydantic import BaseModel, ConfigDict

from coach.course.direction import isolated
from coach.errors import Malformed
from coach.ground.wording import long_date
from coach.habits import before
from coach.habits.gone_by import DaysBefore
from coach.web.dates import IsoDate
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.pages.ways import see
from coach.web.rendering import is_partial, page
from coach.web.showing import show

router = APIRouter(prefix="/days")

StepId = Annotated[str, Path(max_length=100)]


class BoxForm(BaseModel):
    """A tap on a box: the day kept, or the one whose mark is taken back; `shape` is the grid's."""

    model_config = ConfigDict(extra="forbid")

    kept: IsoDate | None = None
    undo: IsoDate | None = None
    shape: str = ""


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
    if form.kept:
        found = before.keep(context, household, form.kept, step)
    elif form.undo:
        found = before.take_back(context, household, form.undo, step)
    else:
        raise Malformed("No day was named. Tap one of the boxes of the line.")
    if not is_partial(request):
        return see(f"/days#line-{step}")
    line = found.line(step)
    title = isolated(line.title) if line else step
    said = f"{title}, {long_date(form.kept)}: kept." if form.kept else f"{title}: mark taken back."
    values = _values(found) | {"line": line, "said": said}
    if line is None or found.shape != form.shape:
        # The mark has changed more than its own line: a weekly one is off the days after it, say.
        whole = {"HX-Retarget": "#grid", "HX-Reswap": "innerHTML"}
        return page(request, "habits/parts/grid_answer.html", values | {"line": None}, headers=whole)
    return page(request, "habits/parts/grid_answer.html", values)


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
