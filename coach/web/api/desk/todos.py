"""`/api/to-dos`: things to do without a date: open, put off, or errands by place."""

from fastapi import APIRouter, Response
from pydantic import TypeAdapter

from coach.desk import overview as desk
from coach.desk import todos as service
from coach.desk.answers import ToDos
from coach.web.api.answers import problems, written
from coach.web.api.desk.bodies import ToDoBody, ToDoId, ToDosBody
from coach.web.deps import ContextDep, HouseholdDep

router = APIRouter(prefix="/to-dos", tags=["desk"])

TODOS = TypeAdapter(ToDos)
ERRORS = problems("not-started", "unknown")


@router.get("", response_model=ToDos, responses=problems("not-started"))
def todos(context: ContextDep, household: HouseholdDep) -> Response:
    """All that is to be done, and what was done in the last two weeks."""
    return written(TODOS, desk.todos(context, household))


@router.post("", status_code=201, response_model=ToDos, responses=problems("not-started", "not-editable"))
def add(context: ContextDep, household: HouseholdDep, body: ToDosBody) -> Response:
    """Write down things to do, all or none of them."""
    found = service.add_titles(context, household, body.titles, body.kind, body.place)
    return written(TODOS, found, 201)


@router.patch("/{todo}", response_model=ToDos, responses=ERRORS)
def change(context: ContextDep, household: HouseholdDep, todo: ToDoId, body: ToDoBody) -> Response:
    """Change a to-do: its words, whether it is put off or an errand, and where to."""
    return written(TODOS, service.change(context, household, todo, body.title, body.kind, body.place))


@router.delete("/{todo}", response_model=ToDos, responses=ERRORS)
def remove(context: ContextDep, household: HouseholdDep, todo: ToDoId) -> Response:
    """Take a to-do off without doing it."""
    return written(TODOS, service.remove(context, household, todo))


@router.put("/{todo}/done", response_model=ToDos, responses=ERRORS)
def finish(context: ContextDep, household: HouseholdDep, todo: ToDoId) -> Response:
    """Say that it is done; twice is the same as once."""
    return written(TODOS, service.finish(context, household, todo))


@router.delete("/{todo}/done", response_model=ToDos, responses=ERRORS)
def unfinish(context: ContextDep, household: HouseholdDep, todo: ToDoId) -> Response:
    """Say that it is not done after all, for two weeks."""
    return written(TODOS, service.unfinish(context, household, todo))


@router.put("/{todo}/picked", response_model=ToDos, responses=ERRORS)
def pick(context: ContextDep, household: HouseholdDep, todo: ToDoId) -> Response:
    """Pick a put-off job for its next day, in place of the oldest."""
    return written(TODOS, service.pick(context, household, todo))
