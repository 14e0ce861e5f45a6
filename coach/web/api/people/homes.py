"""`/api/homes`: the households of whoever asks, where many are hosted."""

from fastapi import APIRouter, Response
from pydantic import TypeAdapter

from coach.household import homes as service
from coach.household.people_answers import Homes
from coach.web.api.answers import problems, written
from coach.web.api.fields import Body, OneLine
from coach.web.api.strictness import StrictRoute
from coach.web.deps import CallerDep, ContextDep

router = APIRouter(prefix="/homes", tags=["people"], route_class=StrictRoute)

HOMES = TypeAdapter(Homes)


class ChoiceBody(Body):
    """The household that a device is about from now on."""

    household: OneLine


@router.get("", response_model=Homes, responses=problems("unpaired", "unknown"))
def look(context: ContextDep, caller: CallerDep) -> Response:
    """The households of whoever asks, in the order in which they joined them."""
    return written(HOMES, service.homes(context, caller))


@router.put("", response_model=Homes, responses=problems("unpaired", "unknown"))
def choose(context: ContextDep, caller: CallerDep, body: ChoiceBody) -> Response:
    """Let this device or program ask about another household from now on."""
    return written(HOMES, service.choose(context, caller, body.household))
