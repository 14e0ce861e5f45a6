"""`/api/enrol`: somebody who was invited comes in, and begins where nobody has."""

from fastapi import APIRouter, Request, Response

from coach.household import enrolling
from coach.household.enrolling import Beginning
from coach.web.api.answers import problems
from coach.web.api.people.bodies import EnrolBody
from coach.web.api.people.pairing import LetIn, let_in, wanted
from coach.web.api.strictness import SecretRoute
from coach.web.deps import CallerDep, ContextDep

router = APIRouter(tags=["people"], route_class=SecretRoute)


@router.post(
    "/enrol",
    status_code=201,
    response_model=LetIn,
    responses=problems("wrong-code", "too-often", "not-allowed", "unknown"),
)
def enrol(request: Request, context: ContextDep, caller: CallerDep, body: EnrolBody) -> Response:
    """Let somebody in by an invitation; a household that has not begun begins with the answers given."""
    beginning = Beginning(body.first, body.zone, body.day_starts, body.pace)
    return let_in(request, enrolling.enrol(context, caller, wanted(body), beginning), body.token)
