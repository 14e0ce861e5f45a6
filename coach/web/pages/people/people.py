"""`/people`: who lives here, what they are called, and who looks after the household."""

from typing import Annotated, Literal

from fastapi import APIRouter, Form, Request, Response

from coach.errors import SteadingError
from coach.ground.people import Caller
from coach.ground.ports import Context
from coach.household import people as service
from coach.household.places import places
from coach.web.deps import CallerDep, ContextDep
from coach.web.pages.people.devices import when_of
from coach.web.pages.ways import see, words
from coach.web.problems import of_error
from coach.web.rendering import page

router = APIRouter(prefix="/people")


def _page(
    request: Request,
    context: Context,
    caller: Caller,
    error: SteadingError | None = None,
    said: str | None = None,
) -> Response:
    found = service.people(context, caller).people
    problem = of_error(error) if error else None
    values = {
        "said": said,
        "trouble": problem.detail if problem else None,
        "caller": caller,
        "people": found,
        "when": when_of(context, caller),
    }
    status = problem.status if problem else 200
    open_pages = places(context, caller.household).open
    return page(request, "people/people.html", values, status, places=open_pages)


@router.get("")
def look(request: Request, context: ContextDep, caller: CallerDep, said: str | None = None) -> Response:
    """Who belongs to the household."""
    return _page(request, context, caller, said=words(said))


@router.post("/{person}/name")
def rename(
    request: Request, context: ContextDep, caller: CallerDep, person: str, name: Annotated[str, Form()] = ""
) -> Response:
    """Call somebody something else."""
    try:
        service.change(context, caller, person, name=name)
    except SteadingError as error:
        return _page(request, context, caller, error)
    return see("/people", "saved")


@router.post("/{person}/role")
def let_be(
    request: Request,
    context: ContextDep,
    caller: CallerDep,
    person: str,
    role: Annotated[Literal["keeper", "member"], Form()],
) -> Response:
    """Let somebody look after the household, or do so no more."""
    try:
        service.change(context, caller, person, role=role)
    except SteadingError as error:
        return _page(request, context, caller, error)
    return see("/people", "saved")


@router.post("/{person}/remove")
def remove(request: Request, context: ContextDep, caller: CallerDep, person: str) -> Response:
    """Take somebody out."""
    try:
        service.remove(context, caller, person)
    except SteadingError as error:
        return _page(request, context, caller, error)
    return see("/people", "taken-out")
