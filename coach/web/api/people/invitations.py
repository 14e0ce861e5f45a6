"""`/api/invitations`: a code for somebody who is to belong to the household, or for households of a group."""

from fastapi import APIRouter, Request, Response

from coach.household import codes, inviting
from coach.household.answers import PairingCode
from coach.web.api.answers import problems
from coach.web.api.people.bodies import InvitationBody
from coach.web.api.people.pairing import code_shown
from coach.web.api.strictness import SecretRoute
from coach.web.deps import CallerDep, ContextDep

router = APIRouter(tags=["people"], route_class=SecretRoute)


@router.post(
    "/invitations",
    status_code=201,
    response_model=PairingCode,
    responses=problems("unpaired", "not-allowed", "unknown", "not-editable"),
)
def invite(
    request: Request, context: ContextDep, caller: CallerDep, body: InvitationBody | None = None
) -> Response:
    """Make an invitation that holds for fourteen days: for one member, or for a coach's new households."""
    wanted = body or InvitationBody()
    if wanted.what == "household" and wanted.group and context.is_hosted:
        made = inviting.invite_households(context, caller, wanted.group, wanted.uses)
    else:
        made = codes.new_invitation(context, caller, wanted.what, wanted.uses, wanted.group)
    return code_shown(request, made)
