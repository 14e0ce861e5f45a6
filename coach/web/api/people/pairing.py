"""`/api/pairing`, `/api/pair` and `/api/sign-out`: a code, the device let in with it, and its end."""

from fastapi import APIRouter, Request, Response
from pydantic import BaseModel, TypeAdapter

from coach.ground.people import Kind  # noqa: TC001  FastAPI reads it at run time
from coach.household import paired, pairing
from coach.household.answers import Paired, PairingCode
from coach.household.devices import LONGEST
from coach.web.api.answers import problems, written
from coach.web.api.people.bodies import PairBody, PairingBody
from coach.web.api.strictness import SecretRoute
from coach.web.deps import CallerDep, ContextDep
from coach.web.reach import base_of
from coach.web.sessions import drop_in_browser, keep_in_browser

router = APIRouter(tags=["people"], route_class=SecretRoute)


class LetIn(BaseModel):
    """A device or a program that was let in.

    Attributes:
        household: The household.
        person: Whose it is.
        token: What a program shows from now on; none for a browser, which has a cookie.
    """

    household: str
    person: str
    token: str | None = None


class SignedOut(BaseModel):
    """What is not let in any more.

    Attributes:
        paired: False; true only where there is nothing to sign out, on Steading's own machine.
    """

    paired: bool = False


CODE = TypeAdapter(PairingCode)
OUT = TypeAdapter(SignedOut)
LET_IN = TypeAdapter(LetIn)


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


@router.post(
    "/pair",
    status_code=201,
    response_model=LetIn,
    responses=problems("wrong-code", "too-often", "not-allowed"),
)
def pair(request: Request, context: ContextDep, caller: CallerDep, body: PairBody) -> Response:
    """Let this device in: the answer sets its cookie, or has the token that was asked for."""
    return let_in(request, pairing.pair(context, caller, wanted(body)), body.token)


def wanted(body: PairBody) -> pairing.Pairing:
    """What a body asks for."""
    kind: Kind = "program" if body.token else "browser"
    return pairing.Pairing(body.code, body.name, body.device, kind, once=body.request_id or "")


def let_in(request: Request, paired: Paired, token: str | None) -> Response:
    """The answer to somebody who was let in."""
    shown = LetIn(household=paired.household, person=paired.person, token=paired.secret if token else None)
    answer = written(LET_IN, shown, 201)
    if not token:
        keep_in_browser(answer, request.url.scheme, paired.secret, int(LONGEST.total_seconds()))
    return answer


@router.post("/sign-out", response_model=SignedOut, responses=problems("unpaired", "not-allowed"))
def sign_out(request: Request, context: ContextDep, caller: CallerDep) -> Response:
    """End what this request was let in by; a browser lets go of whatever it keeps."""
    paired.sign_out(context, caller)
    answer = written(OUT, SignedOut(paired=caller.session is None))
    if caller.session is not None:
        drop_in_browser(answer, request.url.scheme)
    return answer
