"""`/api/pair` and `/api/enrol`: somebody who has a code comes in, and begins where nobody has."""

import json
from hashlib import sha256

from fastapi import APIRouter, Request, Response
from pydantic import BaseModel, TypeAdapter

from coach.ground.people import Kind  # noqa: TC001  FastAPI reads it at run time
from coach.household import enrolling, pairing
from coach.household.answers import Paired
from coach.household.devices import seconds_of
from coach.household.enrolling import Beginning
from coach.web.api.answers import problems, written
from coach.web.api.people.bodies import EnrolBody, PairBody, RecoveryBody, SignInBody
from coach.web.api.strictness import DoorRoute
from coach.web.deps import CallerDep, ContextDep
from coach.web.sessions import keep_in_browser

router = APIRouter(tags=["people"], route_class=DoorRoute)


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


LET_IN = TypeAdapter(LetIn)


@router.post(
    "/pair",
    status_code=201,
    response_model=LetIn,
    responses=problems("wrong-code", "too-often", "not-allowed", "asked-otherwise"),
)
def pair(request: Request, context: ContextDep, caller: CallerDep, body: PairBody) -> Response:
    """Let this device in: the answer sets its cookie, or has the token that was asked for."""
    return let_in(request, pairing.pair(context, caller, wanted(body)), body.token)


@router.post(
    "/enrol",
    status_code=201,
    response_model=LetIn,
    responses=problems("wrong-code", "too-often", "not-allowed", "unknown", "asked-otherwise"),
)
def enrol(request: Request, context: ContextDep, caller: CallerDep, body: EnrolBody) -> Response:
    """Let somebody in by an invitation; a household that has not begun begins with the answers given.

    Where many households are hosted, an invitation for a household begins a new one, and whoever enrols is
    its keeper.
    """
    beginning = Beginning(body.first, body.zone, body.day_starts, body.pace)
    paired = enrolling.enrol(context, caller, wanted(body), beginning, body.household)
    return let_in(request, paired, body.token)


def wanted(body: PairBody) -> pairing.Pairing:
    """What a body asks for."""
    kind: Kind = "program" if body.token else "browser"
    return pairing.Pairing(
        body.code, body.name, body.device, kind, once=body.request_id or "", asked=asked_by(body)
    )


def let_in(request: Request, paired: Paired, token: str | None) -> Response:
    """The answer to somebody who was let in."""
    shown = LetIn(household=paired.household, person=paired.person, token=paired.secret if token else None)
    answer = written(LET_IN, shown, 201)
    if not token:
        keep_in_browser(answer, request.url.scheme, paired.secret, seconds_of(paired.session))
    return answer


def asked_by(body: PairBody | RecoveryBody | SignInBody) -> str:
    """SHA-256 of what a body asks for, beside its code and its id."""
    said = body.model_dump(mode="json", exclude={"code", "request_id"}, exclude_unset=True)
    return sha256(json.dumps([type(body).__name__, said], sort_keys=True).encode()).hexdigest()
