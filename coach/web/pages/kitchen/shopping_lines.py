"""`/shopping/lines/{line}`: a line that somebody wrote on the shopping list, changed or taken off."""

from contextlib import suppress
from dataclasses import replace
from typing import Annotated

from fastapi import APIRouter, Form, Path, Request, Response

from coach.errors import Malformed, NotEditable, Repeated
from coach.ground.ports import Context
from coach.ground.situation import Situation
from coach.kitchen import shopping_lines as service
from coach.kitchen.answers import WrittenLine
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.pages.once import OnceDep
from coach.web.pages.seen import (
    CHANGED_SINCE,
    Clash,
    Fields,
    SeenForm,
    Shown,
    Values,
    fields_of,
    holding,
    put,
    seen_text,
)
from coach.web.pages.ways import see
from coach.web.showing import View, show

router = APIRouter(prefix="/shopping/lines")

LineId = Annotated[str, Path(pattern=r"^[0-9-]{10,20}$")]


class LineForm(SeenForm):
    """A line of the list."""

    text: str = ""


def _form(line: WrittenLine) -> LineForm:
    return LineForm(text=line.text)


def _shown(line: WrittenLine) -> Shown[LineForm]:
    form = _form(line)
    return Shown(form, seen_text(fields_of(form)))


def _fields(line_id: str) -> Fields:
    return Fields(lambda where: fields_of(_form(service.line_in(where, line_id))), lambda _: "What")


def _page(
    request: Request,
    context: Context,
    household: str,
    line_id: str,
    typed: Shown[LineForm] | None = None,
    refused: NotEditable | None = None,
) -> Response:
    """The line as it is, or as it was typed, with what speaks against that."""

    def view(where: Situation) -> View:
        line = service.line_in(where, line_id)
        as_it_is = replace(_shown(line), trouble=str(refused) if refused else None)
        return "kitchen/shopping_line.html", {"line": line, "shown": typed or as_it_is}

    return show(request, context, household, view, typed.status if typed else 409 if refused else 200)


@router.get("/{line}")
def line(request: Request, context: ContextDep, household: HouseholdDep, line: LineId) -> Response:
    """One line, to be changed or taken off."""
    return _page(request, context, household, line)


@router.post("/{line}")
def change(
    request: Request,
    context: ContextDep,
    household: HouseholdDep,
    line: LineId,
    form: Annotated[LineForm, Form()],
) -> Response:
    """Change it; with other words or another amount it is to be bought again."""

    def write(guarded: Context, values: Values) -> None:
        service.change(guarded, household, line, values["text"])

    try:
        put(context, household, form, fields_of(form), _fields(line), write)
    except Clash as clash:
        typed = clash.shown(LineForm.model_validate(clash.merged))
        return _page(request, context, household, line, typed)
    except (Malformed, NotEditable) as error:
        typed = Shown(form, form.seen, trouble=str(error), status=422)
        return _page(request, context, household, line, typed)
    return see("/shopping", "saved")


@router.post("/{line}/remove")
def remove(
    request: Request,
    context: OnceDep,
    household: HouseholdDep,
    line: LineId,
    seen: Annotated[str, Form()] = "",
) -> Response:
    """Take it off, unless somebody has changed it since."""
    as_shown = holding(context, seen, _fields(line).as_they_are, CHANGED_SINCE)
    try:
        with suppress(Repeated):
            service.remove(as_shown, household, line)
    except NotEditable as error:
        return _page(request, context, household, line, refused=error)
    return see("/shopping", "taken-off")
