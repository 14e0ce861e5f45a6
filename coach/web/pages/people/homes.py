"""`/homes`: the households of one person, and which one this device is about."""

from typing import Annotated

from fastapi import APIRouter, Form, Request, Response

from coach.household import homes as service
from coach.web.deps import CallerDep, ContextDep
from coach.web.navigation import open_places
from coach.web.pages.ways import see
from coach.web.rendering import page

router = APIRouter(prefix="/homes")


@router.get("")
def look(request: Request, context: ContextDep, caller: CallerDep) -> Response:
    """The households there are to choose from."""
    found = service.homes(context, caller).homes
    at_home = caller.role is not None
    values = {"homes": found, "caller": caller, "navigation": at_home}
    shown = open_places(context, caller.household) if at_home else ()
    return page(request, "people/homes.html", values, places=shown)


@router.post("")
def choose(context: ContextDep, caller: CallerDep, household: Annotated[str, Form()]) -> Response:
    """This device is about that one from now on."""
    service.choose(context, caller, household)
    return see("/today")
