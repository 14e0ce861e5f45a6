"""`/api/invitations`: a code for somebody who is to belong to the household."""

from fastapi import APIRouter, Request, Response

from coach.household import codes
from coach.household.answers import PairingCode
from coach.web.api.answers import problems
from coach.web.api.people.bodies import InvitationBody
from coach.web.api.people.pairing import code_shown
from coach.web.api.strictness import SecretRoute
from coach.web.deps import CallerDep, ContextDep

router = APIRouter(tags=["people"], route_class=SecretRoute)


@router.post(
    "/invitations", status_code=201, response_model=PairingCode, responses=problems("unpaired", "not-allowed")
)
def invite(
    request: Request, context: ContextDep, caller: CallerDep, body: InvitationBody | None = None
) -> Response:
    """Make an invitation that lets one member in within fourteen days."""
    wanted = body or InvitationBody()
    made = codes.new_invitation(context, caller, wanted.what, wanted.uses, wanted.group)
    return code_shown(request, made)
