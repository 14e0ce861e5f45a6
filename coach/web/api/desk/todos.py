"""`/api/to-dos`: things to do without a date: open, put off, or errands by place."""

from fastapi import APIRouter, Response
from pydantic import TypeAdapter

from coach.desk import overview as desk
from coach.desk import todos as service
from coach.desk.answers import ToDos, ToDoView
from coach.ground.situation import looking
from coach.web.api.answers import problems, written
from coach.web.api.desk.bodies import ToDoBody, ToDoId, ToDosBody
from coach.web.api.seen import IfMatch, matching, tagged
from coach.web.api.strictness import StrictRoute
from coach.web.deps import ContextDep, HouseholdDep

router = APIRouter(prefix="/to-dos", tags=["desk"], route_class=StrictRoute)

TODOS = TypeAdapter(ToDos)
TODO = TypeAdapter(ToDoView)
ERRORS = problems("not-started", "unknown")
CHANGE_ERRORS = problems("not-started", "unknown", "outdated")


@router.get("", response_model=ToDos, responses=problems("not-started"))
def todos(context: ContextDep, household: HouseholdDep) -> Response:
    """All that is to be done, and what was done in the last two weeks."""
    return written(TODOS, desk.todos(context, household))


@router.post("", status_code=201, response_model=ToDos, responses=problems("not-started", "not-editable"))
def add(context: ContextDep, household: HouseholdDep, body: ToDosBody) -> Response:
    """Write down things to do, all or none of them."""
    found = service.add_titles(context, household, body.titles, body.kind, body.place)
    return written(TODOS, found, 201)


@router.get("/{todo}", response_model=ToDoView, responses=ERRORS)
def one(context: ContextDep, household: HouseholdDep, todo: ToDoId) -> Response:
    """One thing to do that is open, with the ETag that a change of it can carry."""
    with looking(context, household) as where:
        return tagged(TODO, desk.todo_in(where, todo))


@router.patch("/{todo}", response_model=ToDos, responses=CHANGE_ERRORS)
def change(
    context: ContextDep, household: HouseholdDep, todo: ToDoId, body: ToDoBody, if_match: IfMatch = None
) -> Response:
    """Change a to-do: its words, whether it is put off or an errand, and where to."""
    seen = matching(context, if_match, TODO, lambda where: desk.todo_in(where, todo))
    return written(TODOS, service.change(seen, household, todo, body.title, body.kind, body.place))


@router.delete("/{todo}", response_model=ToDos, responses=CHANGE_ERRORS)
def remove(context: ContextDep, household: HouseholdDep, todo: ToDoId, if_match: IfMatch = None) -> Response:
    """Take a to-do off without doing it."""
    seen = matching(context, if_match, TODO, lambda where: desk.todo_in(where, todo))
    return written(TODOS, service.remove(seen, household, todo))


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
