"""`/api/sign-in`: somebody comes in by a passkey or a recovery code."""

from fastapi import APIRouter, Request, Response

from coach.ground.people import Kind  # noqa: TC001  FastAPI reads it at run time
from coach.household import recovery, signing_in
from coach.web.api.answers import problems, written
from coach.web.api.people.bodies import RecoveryBody, SignInBody
from coach.web.api.people.enrol import LetIn, asked_by, let_in
from coach.web.api.people.new_passkeys import OPTIONS, Options
from coach.web.api.strictness import DoorRoute
from coach.web.deps import CallerDep, ContextDep
from coach.web.relying import party_of

router = APIRouter(prefix="/sign-in", tags=["people"], route_class=DoorRoute)


@router.post(
    "/begin", status_code=201, response_model=Options, responses=problems("too-often", "not-editable")
)
def begin(request: Request, context: ContextDep, caller: CallerDep) -> Response:
    """Begin to sign in: the options for `navigator.credentials.get`, good for five minutes and one answer."""
    options = signing_in.begin(context, caller, party_of(request))
    return written(OPTIONS, Options(publicKey=options), 201)


@router.post(
    "",
    status_code=201,
    response_model=LetIn,
    responses=problems("wrong-passkey", "too-often", "not-allowed", "not-editable", "asked-otherwise"),
)
def sign_in(request: Request, context: ContextDep, caller: CallerDep, body: SignInBody) -> Response:
    """Let this browser in by what a passkey has answered; the answer sets its cookie."""
    wanted = signing_in.SigningIn(body.answer, body.device, body.request_id or "", asked_by(body))
    paired = signing_in.sign_in(context, caller, party_of(request), wanted)
    return let_in(request, paired, None)


@router.post(
    "/recovery",
    status_code=201,
    response_model=LetIn,
    responses=problems("wrong-code", "too-often", "not-allowed", "asked-otherwise"),
)
def recover(request: Request, context: ContextDep, caller: CallerDep, body: RecoveryBody) -> Response:
    """Let this browser or a program in by a code of a recovery sheet, which is used up by it."""
    kind: Kind = "program" if body.token else "browser"
    once = body.request_id or ""
    wanted = recovery.Recovering(body.code, body.device, kind, once, asked_by(body))
    return let_in(request, recovery.recover(context, caller, wanted), body.token)
