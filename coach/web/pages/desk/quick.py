"""`/quick`: one line typed, said back, and then saved."""

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass, field, fields
from typing import Annotated, Literal

from fastapi import APIRouter, Form, Query, Request, Response
from pydantic import BaseModel, ConfigDict

from coach.course.keys import is_blank
from coach.desk import quick as service
from coach.desk.quick import TypedQuick
from coach.errors import Malformed, NotEditable, Repeated
from coach.ground.faults import Unfit
from coach.ground.situation import Situation, looking
from coach.household.places import places_in
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.navigation import open_places
from coach.web.pages.desk.forms import against
from coach.web.pages.once import OnceDep
from coach.web.pages.ways import see
from coach.web.rendering import is_partial, page

router = APIRouter(prefix="/quick")

Place = Literal["today", "desk"]


class QuickForm(BaseModel):
    """What was said back, and perhaps mended.

    Attributes:
        line: What was typed at first.
        back: The page to go back to.
    """

    model_config = ConfigDict(extra="forbid")

    kind: str = ""
    title: str = ""
    on: str = ""
    time: str = ""
    place: str = ""
    line: str = ""
    back: Place = "today"
    request_id: str = ""


@dataclass(frozen=True)
class Shown:
    """What the page, or the part of another page, shows.

    Attributes:
        line: What was typed.
        back: The page to go back to.
        form: What was understood; none while the line is still asked for.
        text: The same as a sentence.
        faults: What is wrong with the form, by field; `trouble` is wrong with the line, or with all of it.
    """

    line: str
    back: Place
    form: QuickForm | None = None
    text: str | None = None
    trouble: str | None = None
    faults: dict[str, str] = field(default_factory=dict)


def _page(request: Request, shown: Shown, places: Sequence[str]) -> Response:
    values = {one.name: getattr(shown, one.name) for one in fields(shown)}
    status = 422 if shown.trouble or shown.faults else 200
    if is_partial(request):
        return page(request, "desk/parts/quick_answer.html", values, status)
    return page(request, "desk/quick.html", values, status, places=places)


def _said_back(where: Situation, line: str, back: Place) -> Shown:
    try:
        found = service.read_in(where, line)
    except Malformed as error:
        return Shown(line, back, trouble=str(error))
    on = found.on.isoformat() if found.on else ""
    form = QuickForm(
        kind=found.kind,
        title=found.title,
        on=on,
        time=found.time or "",
        place=found.place or "",
        line=line,
        back=back,
    )
    return Shown(line, back, form, found.text)


@router.get("")
def read(
    request: Request,
    context: ContextDep,
    household: HouseholdDep,
    line: Annotated[str, Query(max_length=2000)] = "",
    back: Place = "today",
) -> Response:
    """Read a line and say it back; nothing is saved yet."""
    if is_blank(line):
        return _page(request, Shown(line, back), open_places(context, household))
    with looking(context, household) as where:
        shown, places = _said_back(where, line, back), places_in(where).open
    return _page(request, shown, places)


@router.post("")
def save(
    request: Request, context: OnceDep, household: HouseholdDep, form: Annotated[QuickForm, Form()]
) -> Response:
    """Save what was said back."""
    typed = TypedQuick(form.kind, form.title, form.on, form.place, form.time)
    try:
        with suppress(Repeated):
            service.save(context, household, typed)
    except (Unfit, NotEditable) as error:
        shown = Shown(form.line, form.back, form, **against(error))
        return _page(request, shown, open_places(context, household))
    return see(f"/{form.back}", "written-down")
