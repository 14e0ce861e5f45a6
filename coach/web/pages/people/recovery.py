"""`/recovery`: a sheet of codes for whoever has nothing else left to come in with, shown this once."""

from fastapi import APIRouter, Request, Response

from coach.errors import SteadingError
from coach.ground.people import Caller
from coach.ground.ports import Context
from coach.household import passkeys, recovery
from coach.household.ways_in_answers import NewSheet
from coach.web.deps import CallerDep, ContextDep
from coach.web.pages.people.devices import when_of
from coach.web.pages.people.passkeys import bar_of
from coach.web.pages.ways import see, words
from coach.web.problems import of_error
from coach.web.rendering import page

router = APIRouter(prefix="/recovery")


def _page(
    request: Request,
    context: Context,
    caller: Caller,
    made: NewSheet | None = None,
    error: SteadingError | None = None,
    said: str | None = None,
) -> Response:
    problem = of_error(error) if error else None
    values = {
        "said": said,
        "trouble": problem.detail if problem else None,
        "caller": caller,
        "made": made,
        "ways": passkeys.ways_in(context, caller),
        "base": _address(request),
        "when": when_of(context, caller),
    }
    status = problem.status if problem else 200
    return page(request, "people/recovery.html", values, status, places=bar_of(context, caller))


def _address(request: Request) -> str:
    """Where somebody types a code: under the public address, or the one under which they look at the page."""
    state = request.app.state
    return state.public_url if state.way == "hosted" else f"{request.url.scheme}://{request.url.netloc}"


@router.get("")
def look(request: Request, context: ContextDep, caller: CallerDep, said: str | None = None) -> Response:
    """What a sheet is, and whether there is one."""
    recovery.refuse_others(caller)
    return _page(request, context, caller, said=words(said))


@router.post("")
def make(request: Request, context: ContextDep, caller: CallerDep) -> Response:
    """A new sheet, shown to be printed; it is nowhere else."""
    recovery.refuse_others(caller)
    try:
        made = recovery.new_sheet(context, caller)
    except SteadingError as error:
        return _page(request, context, caller, error=error)
    return _page(request, context, caller, made)


@router.post("/end")
def end(request: Request, context: ContextDep, caller: CallerDep) -> Response:
    """No code of the sheet lets anybody in any more."""
    recovery.refuse_others(caller)
    try:
        recovery.end_sheet(context, caller)
    except SteadingError as error:
        return _page(request, context, caller, error=error)
    return see("/recovery", "sheet-ended")
