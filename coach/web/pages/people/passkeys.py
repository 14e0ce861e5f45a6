"""`/passkeys`: a person's passkeys, and what else lets them in."""

from typing import Annotated

from fastapi import APIRouter, Form, Request, Response

from coach.errors import SteadingError
from coach.ground.people import Caller
from coach.ground.ports import Context
from coach.household import passkeys
from coach.household.places import places
from coach.web.deps import CallerDep, ContextDep
from coach.web.pages.people.devices import when_of
from coach.web.pages.ways import see, words
from coach.web.problems import of_error
from coach.web.relying import why_not
from coach.web.rendering import page

router = APIRouter(prefix="/passkeys")


def _page(
    request: Request,
    context: Context,
    caller: Caller,
    error: SteadingError | None = None,
    said: str | None = None,
) -> Response:
    problem = of_error(error) if error else None
    values = {
        "said": said,
        "trouble": problem.detail if problem else None,
        "caller": caller,
        "ways": passkeys.ways_in(context, caller, why_not(request)),
        "way": request.app.state.way,
        "host": request.url.hostname or "",
        "when": when_of(context, caller),
    }
    status = problem.status if problem else 200
    return page(request, "people/passkeys.html", values, status, places=bar_of(context, caller))


def bar_of(context: Context, caller: Caller) -> tuple[str, ...]:
    """The open pages of the household that asks; none for a coach without one."""
    return places(context, caller.household).open if caller.role is not None else ()


@router.get("")
def look(request: Request, context: ContextDep, caller: CallerDep, said: str | None = None) -> Response:
    """The passkeys there are."""
    return _page(request, context, caller, said=words(said))


@router.post("/{passkey}/name")
def rename(
    request: Request, context: ContextDep, caller: CallerDep, passkey: str, name: Annotated[str, Form()] = ""
) -> Response:
    """Call one something else."""
    try:
        passkeys.rename(context, caller, passkey, name)
    except SteadingError as error:
        return _page(request, context, caller, error)
    return see("/passkeys", "saved")


@router.post("/{passkey}/remove")
def remove(
    request: Request, context: ContextDep, caller: CallerDep, passkey: str, last: Annotated[str, Form()] = ""
) -> Response:
    """Nobody signs in with it any more."""
    try:
        passkeys.remove(context, caller, passkey, last=last == "yes")
    except SteadingError as error:
        return _page(request, context, caller, error)
    return see("/passkeys", "passkey-removed")
