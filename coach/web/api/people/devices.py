"""`/api/devices`: what is paired."""

from fastapi import APIRouter, Response
from pydantic import TypeAdapter

from coach.household import paired
from coach.household.people_answers import Devices
from coach.web.api.answers import problems, written
from coach.web.api.people.paths import SessionId
from coach.web.api.strictness import StrictRoute
from coach.web.deps import CallerDep, ContextDep

router = APIRouter(prefix="/devices", tags=["people"], route_class=StrictRoute)

DEVICES = TypeAdapter(Devices)


@router.get("", response_model=Devices, responses=problems("unpaired"))
def look(context: ContextDep, caller: CallerDep) -> Response:
    """The devices that are paired: for a keeper all of the household's, for a member their own."""
    return written(DEVICES, paired.devices(context, caller))


@router.delete("/{device}", response_model=Devices, responses=problems("unpaired", "unknown", "not-allowed"))
def end(context: ContextDep, caller: CallerDep, device: SessionId) -> Response:
    """End one: its next request is a 401. The answer is what is paired still."""
    paired.end(context, caller, device)
    return written(DEVICES, paired.devices(context, caller))
