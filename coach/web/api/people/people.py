"""`/api/people`: who belongs to the household."""

from fastapi import APIRouter, Response
from pydantic import TypeAdapter

from coach.household import people as service
from coach.household.people_answers import People
from coach.web.api.answers import problems, written
from coach.web.api.people.bodies import PersonBody
from coach.web.api.people.paths import PersonId
from coach.web.api.strictness import StrictRoute
from coach.web.deps import CallerDep, ContextDep

router = APIRouter(prefix="/people", tags=["people"], route_class=StrictRoute)

PEOPLE = TypeAdapter(People)


@router.get("", response_model=People, responses=problems("unpaired"))
def look(context: ContextDep, caller: CallerDep) -> Response:
    """Who belongs to the household, in the order in which they joined."""
    return written(PEOPLE, service.people(context, caller))


@router.patch(
    "/{person}",
    response_model=People,
    responses=problems("unpaired", "unknown", "not-allowed", "not-editable"),
)
def change(context: ContextDep, caller: CallerDep, person: PersonId, body: PersonBody) -> Response:
    """Call somebody something else, or let them be keeper or member; the answer is everybody."""
    return written(PEOPLE, service.change(context, caller, person, body.name, body.role))


@router.delete(
    "/{person}",
    response_model=People,
    responses=problems("unpaired", "unknown", "not-allowed", "not-editable"),
)
def remove(context: ContextDep, caller: CallerDep, person: PersonId) -> Response:
    """Take somebody out: their devices and tokens end at once. The answer is who is left."""
    return written(PEOPLE, service.remove(context, caller, person))
