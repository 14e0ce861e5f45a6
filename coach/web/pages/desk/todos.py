"""`/desk/to-dos`: things to do, written down, put off, taken along as errands, done."""

from contextlib import suppress
from dataclasses import replace
from typing import Annotated

from fastapi import APIRouter, Form, Request, Response

from coach.desk import todos as service
from coach.desk.overview import todo_in
from coach.errors import Malformed, NotEditable, Repeated
from coach.ground.ports import Context
from coach.ground.situation import Situation
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.pages.desk.forms import (
    KIND_WORDS,
    TODO_LABELS,
    DeskId,
    ToDoForm,
    ToDosForm,
    todo_form,
    todo_shown,
)
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

router = APIRouter(prefix="/desk")

Back = Annotated[str, Form()]


@router.post("/to-dos")
def add(
    request: Request, context: OnceDep, household: HouseholdDep, form: Annotated[ToDosForm, Form()]
) -> Response:
    """Write them down, all or none; what cannot be kept is asked again with everything still there."""
    try:
        with suppress(Repeated):
            service.add(context, household, form.lines, form.kind, form.place)
    except (Malformed, NotEditable) as error:
        shown = Typed(todos=form, wrong="to-dos", faults={"lines": str(error)})
        return desk_page(request, context, household, shown)
    return see("/desk", "written-down")


def _page(
    request: Request,
    context: Context,
    household: str,
    todo_id: str,
    typed: Shown[ToDoForm] | None = None,
    refused: NotEditable | None = None,
) -> Response:
    """It as it is, or as it was typed, with what speaks against that."""

    def view(where: Situation) -> View:
        todo = todo_in(where, todo_id)
        shown = typed or replace(todo_shown(todo), trouble=str(refused) if refused else None)
        return "desk/todo.html", {"todo": todo, "shown": shown, "kinds": KIND_WORDS}

    return show(request, context, household, view, typed.status if typed else 409 if refused else 200)


@router.get("/to-dos/{todo}")
def todo(request: Request, context: ContextDep, household: HouseholdDep, todo: DeskId) -> Response:
    """One thing to do, to be changed or taken off."""
    return _page(request, context, household, todo)


@router.post("/to-dos/{todo}")
def change(
    request: Request,
    context: ContextDep,
    household: HouseholdDep,
    todo: DeskId,
    form: Annotated[ToDoForm, Form()],
) -> Response:
    """Change it: its words, whether it is put off or an errand, and where to."""

    def write(guarded: Context, values: Values) -> None:
        new = ToDoForm.model_validate(values)
        service.change(guarded, household, todo, new.title, new.kind, new.place)

    try:
        put(context, household, form, fields_of(form), _fields(todo), write)
    except Clash as clash:
        typed = clash.shown(ToDoForm.model_validate(clash.merged))
        return _page(request, context, household, todo, typed)
    except (Malformed, NotEditable) as error:
        typed = Shown(form, form.seen, trouble=str(error), status=422)
        return _page(request, context, household, todo, typed)
    return see("/desk", "saved")


def _fields(todo_id: str) -> Fields:
    return Fields(
        lambda where: fields_of(todo_form(todo_in(where, todo_id))), TODO_LABELS.__getitem__, _words
    )


def _words(name: str, text: str) -> str:
    return KIND_WORDS[text] if name == "kind" else text


@router.post("/to-dos/{todo}/remove")
def remove(
    request: Request,
    context: OnceDep,
    household: HouseholdDep,
    todo: DeskId,
    seen: Annotated[str, Form()] = "",
) -> Response:
    """Take it off without doing it, unless somebody has changed it since."""
    as_shown = holding(context, seen, _fields(todo).as_they_are, CHANGED_SINCE)
    try:
        with suppress(Repeated):
            service.remove(as_shown, household, todo)
    except NotEditable as error:
        return _page(request, context, household, todo, refused=error)
    return see("/desk", "taken-off")


@router.post("/to-dos/{todo}/done")
def finish(
    context: ContextDep,
    household: HouseholdDep,
    todo: DeskId,
    done: Annotated[str, Form()] = "yes",
    back: Back = "desk",
) -> Response:
    """Say that it is done, or that it is not."""
    is_done = done == "yes"
    (service.finish if is_done else service.unfinish)(context, household, todo)
    return see(back_to(back, "/desk"), "done" if is_done else "open-again")


@router.post("/picked")
def pick(
    context: ContextDep,
    household: HouseholdDep,
    todo: Annotated[str, Form(pattern=r"^[0-9-]{10,20}$")],
    back: Back = "desk",
) -> Response:
    """Pick a put-off job for its next day."""
    service.pick(context, household, todo)
    return see(back_to(back, "/desk"), "picked")
