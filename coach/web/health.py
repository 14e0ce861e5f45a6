"""`/healthz`: how the service is, and what is wrong at present."""

from http import HTTPStatus

from fastapi import APIRouter
from fastapi.responses import Response
from pydantic import TypeAdapter

from coach.household.health import Health, health
from coach.web.api.answers import problems, written
from coach.web.deps import ContextDep, HouseholdDep

router = APIRouter(tags=["health"])

HEALTH = TypeAdapter(Health)
_FAILING = {"model": Health, "description": "The database cannot be used; the finding says what to do."}


@router.get(
    "/healthz",
    response_model=Health,
    responses={**problems("host", "unpaired", "failure"), HTTPStatus.SERVICE_UNAVAILABLE: _FAILING},
)
def look(context: ContextDep, household: HouseholdDep) -> Response:
    """How the service is: `ok`, `degraded` where the pages answer all the same, or `failing`."""
    found = health(context, household)
    failing = found.status == "failing"
    return written(HEALTH, found, HTTPStatus.SERVICE_UNAVAILABLE if failing else HTTPStatus.OK)
