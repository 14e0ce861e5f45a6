"""`/api/pairing` and `/api/sign-out`: a code that lets a device in, and the end of one that was let in."""

from fastapi import APIRouter, Request, Response
from pydantic import BaseModel, TypeAdapter

from coach.household import paired, pairing
from coach.household.answers import PairingCode
from coach.web.api.answers import problems, written
from coach.web.api.people.bodies import PairingBody
from coach.web.api.strictness import SecretRoute
from coach.web.deps import CallerDep, ContextDep
from coach.web.reach import base_of
from coach.web.sessions import drop_in_browser

router = APIRouter(tags=["people"], route_class=SecretRoute)


class SignedOut(BaseModel):
    """What is not let in any more.

    Attributes:
        paired: False; true only where there is nothing to sign out, on Steading's own machine.
    """

    paired: bool = False


CODE = TypeAdapter(PairingCode)
OUT = TypeAdapter(SignedOut)


def code_shown(request: Request, found: PairingCode) -> Response:
    """A code that was just made, with a link that other devices can open."""
    return written(CODE, PairingCode(found.code, base_of(request) + found.link, found.expires_at), 201)


@router.post(
    "/pairing", status_code=201, response_model=PairingCode, responses=problems("unpaired", "not-allowed")
)
def new_code(
    request: Request, context: ContextDep, caller: CallerDep, body: PairingBody | None = None
) -> Response:
    """Make a code that lets one device in within ten minutes."""
    for_me = body is not None and body.person == "me"
    return code_shown(request, pairing.new_code(context, caller, for_me=for_me))


@router.post("/sign-out", response_model=SignedOut, responses=problems("unpaired", "not-allowed"))
def sign_out(request: Request, context: ContextDep, caller: CallerDep) -> Response:
    """End what this request was let in by; a browser lets go of whatever it keeps."""
    paired.sign_out(context, caller)
    answer = written(OUT, SignedOut(paired=caller.session is None))
    if caller.session is not None:
        drop_in_browser(answer, request.url.scheme)
    return answer
