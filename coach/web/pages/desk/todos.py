"""`/desk/to-dos`: things to do, written down, put off, taken along as errands, done."""

from typing import Annotated

from fastapi import APIRouter, Form, Path, Request, Response
from pydantic import BaseModel, ConfigDict

from coach.desk import todos as service
from coach.desk.answers import ToDoKindName, ToDos, ToDoView
from coach.errors import Malformed, NotEditable, Unknown
from coach.ground.ports import Context
from coach.ground.situation import Situation
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.pages.desk.overview import Shown, ToDoFields, desk_page
from coach.web.pages.ways import see
from coach.web.showing import View, show

router = APIRouter(prefix="/desk")

ToDoId = Annotated[str, Path(pattern=r"^[0-9-]{10,20}$")]
Back = Annotated[str, Form()]


class ToDosForm(BaseModel):
    """Things to do, one on each line."""

    model_config = ConfigDict(extra="forbid")

    lines: str = ""
    kind: ToDoKindName = "open"
    place: str = ""


class ToDoForm(BaseModel):
    """One thing to do."""

    model_config = ConfigDict(extra="forbid")

    title: str = ""
    kind: ToDoKindName = "open"
    place: str = ""


@router.post("/to-dos")
def add(
    request: Request, context: ContextDep, household: HouseholdDep, form: Annotated[ToDosForm, Form()]
) -> Response:
    """Write them down, all or none; what cannot be kept is asked again with everything still there."""
    try:
        service.add(context, household, form.lines, form.kind, form.place)
    except (Malformed, NotEditable) as error:
        shown = Shown(
            todos=ToDoFields(form.lines, form.kind, form.place), wrong="to-dos", faults={"lines": str(error)}
        )
        return desk_page(request, context, household, shown)
    return see("/desk", "written-down")


def _known(where: Situation, todo: str) -> ToDoView:
    found = next((one for one in _open(service.todos_in(where)) if one.id == todo), None)
    if found is None:
        raise Unknown("There is no such thing to do. It may have been done or taken off meanwhile.")
    return found


def _open(found: ToDos) -> list[ToDoView]:
    errands = [todo for place in found.errands for todo in place.todos]
    return [*found.open, *found.put_off, *errands]


def _page(
    request: Request,
    context: Context,
    household: str,
    todo_id: str,
    sent: ToDoForm | None = None,
    trouble: str | None = None,
) -> Response:
    def view(where: Situation) -> View:
        todo = _known(where, todo_id)
        form = sent or ToDoForm(title=todo.title, kind=todo.kind, place=todo.place or "")
        return "desk/todo.html", {"todo": todo, "form": form, "trouble": trouble}

    return show(request, context, household, view, 422 if trouble else 200)


@router.get("/to-dos/{todo}")
def todo(request: Request, context: ContextDep, household: HouseholdDep, todo: ToDoId) -> Response:
    """One thing to do, to be changed or taken off."""
    return _page(request, context, household, todo)


@router.post("/to-dos/{todo}")
def change(
    request: Request,
    context: ContextDep,
    household: HouseholdDep,
    todo: ToDoId,
    form: Annotated[ToDoForm, Form()],
) -> Response:
    """Change it: its words, whether it is put off or an errand, and where to."""
    try:
        service.change(context, household, todo, form.title, form.kind, form.place)
    except Malformed as error:
        return _page(request, context, household, todo, form, str(error))
    return see("/desk", "saved")


@router.post("/to-dos/{todo}/remove")
def remove(context: ContextDep, household: HouseholdDep, todo: ToDoId) -> Response:
    """Take it off without doing it."""
    service.remove(context, household, todo)
    return see("/desk", "taken-off")


@router.post("/to-dos/{todo}/done")
def finish(
    context: ContextDep,
    household: HouseholdDep,
    todo: ToDoId,
    done: Annotated[str, Form()] = "yes",
    back: Back = "desk",
) -> Response:
    """Say that it is done, or that it is not."""
    is_done = done == "yes"
    (service.finish if is_done else service.unfinish)(context, household, todo)
    return see("/today" if back == "today" else "/desk", "done" if is_done else "open-again")


@router.post("/picked")
def pick(
    context: ContextDep,
    household: HouseholdDep,
    todo: Annotated[str, Form(pattern=r"^[0-9-]{10,20}$")],
    back: Back = "desk",
) -> Response:
    """Pick a put-off job for its next day."""
    service.pick(context, household, todo)
    return see("/today" if back == "today" else "/desk", "picked")
