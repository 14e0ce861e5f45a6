"""`/homes`: the households of one person, and which one this device is about."""

from typing import Annotated

from fastapi import APIRouter, Form, Request, Response

from coach.household import homes as service
from coach.web.deps import CallerDep, ContextDep
from coach.web.pages.people.passkeys import bar_of
from coach.web.pages.ways import see
from coach.web.rendering import page

router = APIRouter(prefix="/homes")


@router.get("")
def look(request: Request, context: ContextDep, caller: CallerDep) -> Response:
    """The households there are to choose from."""
    found = service.homes(context, caller).homes
    values = {"homes": found, "caller": caller, "navigation": caller.is_let_in}
    return page(request, "people/homes.html", values, places=bar_of(context, caller))


@router.post("")
def choose(context: ContextDep, caller: CallerDep, household: Annotated[str, Form()]) -> Response:
    """This device is about that one from now on."""
    service.choose(context, caller, household)
    return see("/today")
