"""`/api/pairing` and `/api/pair`: a code, and the device that is let in with it."""

from fastapi import APIRouter, Request, Response
from pydantic import BaseModel, TypeAdapter

from coach.household import pairing
from coach.household.answers import Paired, PairingCode
from coach.household.devices import LONGEST
from coach.web.api.answers import problems, written
from coach.web.api.household.bodies import PairBody, PairingBody
from coach.web.api.strictness import SecretRoute
from coach.web.deps import CallerDep, ContextDep
from coach.web.sessions import keep_in_browser

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


CODE = TypeAdapter(PairingCode)
LET_IN = TypeAdapter(LetIn)


@router.post("/pairing", status_code=201, response_model=PairingCode, responses=problems("unpaired"))
def new_code(
    request: Request, context: ContextDep, caller: CallerDep, body: PairingBody | None = None
) -> Response:
    """Make a code that lets one device in within ten minutes."""
    for_me = body is not None and body.person == "me"
    found = pairing.new_code(context, caller, for_me=for_me)
    link = f"{request.url.scheme}://{request.url.netloc}{found.link}"
    return written(CODE, PairingCode(found.code, link, found.expires_at), 201)


@router.post(
    "/pair",
    status_code=201,
    response_model=LetIn,
    responses=problems("wrong-code", "too-often", "not-allowed"),
)
def pair(request: Request, context: ContextDep, caller: CallerDep, body: PairBody) -> Response:
    """Let this device in: the answer sets its cookie, or has the token that was asked for."""
    wanted = pairing.Pairing(body.code, body.name, body.device, "program" if body.token else "browser")
    return _let_in(request, pairing.pair(context, caller.household, wanted, caller.address), body.token)


def _let_in(request: Request, paired: Paired, token: str | None) -> Response:
    shown = LetIn(household=paired.household, person=paired.person, token=paired.secret if token else None)
    answer = written(LET_IN, shown, 201)
    if not token:
        keep_in_browser(answer, request.url.scheme, paired.secret, int(LONGEST.total_seconds()))
    return answer
