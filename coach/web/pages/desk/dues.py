"""`/desk/dues`: dues written down, changed, seen to, and taken off."""

from contextlib import suppress
from dataclasses import replace
from datetime import date
from typing import Annotated

from fastapi import APIRouter, Form, Path, Request, Response

from coach.desk import dues
from coach.desk.answers import DueView
from coach.desk.overview import due_in
from coach.desk.repeats import AS_IS, CHOICES
from coach.errors import Malformed, NotEditable, Repeated
from coach.ground.ports import Context
from coach.ground.situation import Situation
from coach.ground.wording import whole_date
from coach.web.dates import IsoDate
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.pages.desk.forms import DUE_LABELS, DeskId, DueForm, against, due_form, due_shown
from coach.web.pages.desk.overview import Typed, desk_page
from coach.web.pages.once import OnceDep
from coach.web.pages.seen import (
    CHANGED_SINCE,
    Clash,
    Fields,
    Shown,
    Values,
    fields_of,
    holding,
    put,
)
from coach.web.pages.ways import back_to, see
from coach.web.showing import View, show

router = APIRouter(prefix="/desk/dues")


@router.post("")
def add(
    request: Request, context: OnceDep, household: HouseholdDep, form: Annotated[DueForm, Form()]
) -> Response:
    """Write a due down; what cannot be kept is asked again with everything typed still there."""
    try:
        with suppress(Repeated):
            dues.add(context, household, form.typed())
    except (Malformed, NotEditable) as error:
        return desk_page(request, context, household, Typed(due=form, wrong="due", **against(error)))
    return see("/desk", "written-down")


def _page(
    request: Request,
    context: Context,
    household: str,
    due_id: str,
    typed: Shown[DueForm] | None = None,
    refused: NotEditable | None = None,
) -> Response:
    """The due as it is, or as it was typed, with what speaks against that."""

    def view(where: Situation) -> View:
        due = due_in(where, due_id)
        as_it_is = replace(due_shown(due), trouble=str(refused) if refused else None)
        choices = _choices(due, as_it_is.form)
        return "desk/due.html", {"due": due, "choices": choices, "shown": typed or as_it_is}

    return show(request, context, household, view, typed.status if typed else 409 if refused else 200)


def _choices(due: DueView, as_it_is: DueForm) -> dict[str, str]:
    """How often it can be due; a rule that no choice makes is one more."""
    return {AS_IS: f"As now: {due.repeats_text}", **CHOICES} if as_it_is.repeats == AS_IS else dict(CHOICES)


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

    def write(guarded: Context, values: Values) -> None:
        dues.change(guarded, household, due, DueForm.model_validate(values).typed())

    try:
        put(context, household, form, fields_of(form), _fields(due), write)
    except Clash as clash:
        typed = clash.shown(DueForm.model_validate(clash.merged))
        return _page(request, context, household, due, typed)
    except (Malformed, NotEditable) as error:
        typed = Shown(form, form.seen, **against(error), status=422)
        return _page(request, context, household, due, typed)
    return see("/desk", "saved")


def _fields(due_id: str) -> Fields:
    return Fields(lambda where: fields_of(due_form(due_in(where, due_id))), DUE_LABELS.__getitem__, _words)


def _words(name: str, text: str) -> str:
    if name == "on" and text:
        # What was typed may be no date.
        with suppress(ValueError):
            return whole_date(date.fromisoformat(text))
    return CHOICES.get(text, "as before") if name == "repeats" else text


@router.post("/{due}/remove")
def remove(
    request: Request,
    context: OnceDep,
    household: HouseholdDep,
    due: DeskId,
    seen: Annotated[str, Form()] = "",
) -> Response:
    """Take it off, unless somebody has changed it since."""
    as_shown = holding(context, seen, _fields(due).as_they_are, CHANGED_SINCE)
    try:
        with suppress(Repeated):
            dues.remove(as_shown, household, due)
    except NotEditable as error:
        return _page(request, context, household, due, refused=error)
    return see("/desk", "taken-off")


@router.post("/{due}/seen-to/{date}")
def see_to(
    context: ContextDep,
    household: HouseholdDep,
    due: DeskId,
    date: Annotated[IsoDate, Path()],
    seen_to: Annotated[str, Form()] = "yes",
    back: Annotated[str, Form()] = "desk",
) -> Response:
    """Say that a date of it is seen to, or paid, or that it is not."""
    address = back_to(back, "/desk")
    if seen_to != "yes":
        dues.reopen(context, household, due, date)
        return see(address, "open-again")
    found = dues.see_to(context, household, due, date)
    is_paid = any(one.amount for one in found.seen_to if (one.due, one.on) == (due, date))
    return see(address, "paid" if is_paid else "seen-to")
