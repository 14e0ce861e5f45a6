"""`/desk/dues`: dues written down, changed, settled, and taken off."""

import datetime as dt
from typing import Annotated

from fastapi import APIRouter, Form, Path, Request, Response

from coach.desk import dues
from coach.desk.overview import due_in
from coach.desk.repeats import AS_IS, CHOICES
from coach.errors import Malformed, NotEditable
from coach.ground.ports import Context
from coach.ground.situation import Situation
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.pages.desk.forms import NOTHING, DeskId, DueForm, against, due_form
from coach.web.pages.desk.overview import Shown, desk_page
from coach.web.pages.ways import see
from coach.web.showing import View, show

router = APIRouter(prefix="/desk/dues")


@router.post("")
def add(
    request: Request, context: ContextDep, household: HouseholdDep, form: Annotated[DueForm, Form()]
) -> Response:
    """Write a due down; what cannot be kept is asked again with everything typed still there."""
    try:
        dues.add(context, household, form.typed())
    except (Malformed, NotEditable) as error:
        return desk_page(request, context, household, Shown(due=form, wrong="due", **against(error)))
    return see("/desk", "written-down")


def _page(
    request: Request,
    context: Context,
    household: str,
    due_id: str,
    refused: tuple[DueForm, Malformed] | None = None,
) -> Response:
    """The due as it is, or as it was sent, with what speaks against that."""

    def view(where: Situation) -> View:
        due = due_in(where, due_id)
        as_it_is, choices = due_form(due), CHOICES
        if as_it_is.repeats == AS_IS:
            choices = {AS_IS: f"As now: {due.repeats_text}", **CHOICES}
        fields, wrong = (refused[0], against(refused[1])) if refused else (as_it_is, NOTHING)
        return "desk/due.html", {"due": due, "choices": choices, "fields": fields, **wrong}

    return show(request, context, household, view, 422 if refused else 200)


@router.get("/{due}")
def due(request: Request, context: ContextDep, household: HouseholdDep, due: DeskId) -> Response:
    """One due, to be changed or taken off."""
    return _page(request, context, household, due)


@router.post("/{due}")
def change(
    request: Request,
    context: ContextDep,
    household: HouseholdDep,
    due: DeskId,
    form: Annotated[DueForm, Form()],
) -> Response:
    """Change it."""
    try:
        dues.change(context, household, due, form.typed())
    except Malformed as error:
        return _page(request, context, household, due, (form, error))
    return see("/desk", "saved")


@router.post("/{due}/remove")
def remove(context: ContextDep, household: HouseholdDep, due: DeskId) -> Response:
    """Take it off."""
    dues.remove(context, household, due)
    return see("/desk", "taken-off")


@router.post("/{due}/settled/{date}")
def settle(
    context: ContextDep,
    household: HouseholdDep,
    due: DeskId,
    date: Annotated[dt.date, Path()],
    settled: Annotated[str, Form()] = "yes",
    back: Annotated[str, Form()] = "desk",
) -> Response:
    """Say that a date of it is dealt with, or that it is not."""
    is_settled = settled == "yes"
    (dues.settle if is_settled else dues.unsettle)(context, household, due, date)
    return see("/today" if back == "today" else "/desk", "settled" if is_settled else "open-again")
