"""`/sign-in`: somebody comes in by a passkey, or by a code of their recovery sheet."""

from typing import Annotated

from fastapi import APIRouter, Form, Request, Response
from pydantic import BaseModel, ConfigDict

from coach.errors import SteadingError, TooOften
from coach.household import recovery
from coach.household.devices import seconds_of
from coach.web import rendering
from coach.web.callers import caller_of
from coach.web.deps import CallerDep, ContextDep
from coach.web.events import tell
from coach.web.pages.once import new_request_id
from coach.web.pages.ways import see
from coach.web.pairing import DEVICES, device_of
from coach.web.problems import of_error
from coach.web.relying import why_not
from coach.web.sessions import keep_in_browser

router = APIRouter(prefix="/sign-in")

AFTERWARDS = {"passkeys": "/passkeys", "recovery": "/recovery"}
"""Pages that send somebody here to confirm that it is them, and open afterwards."""


class SignInForm(BaseModel):
    """A recovery code, what this device is called, and which page opens afterwards."""

    model_config = ConfigDict(extra="forbid")

    code: str = ""
    device: str = ""
    after: str = ""
    request_id: str = ""


def _page(request: Request, form: SignInForm, status: int = 200, trouble: str = "") -> Response:
    values = {
        "navigation": False,
        "trouble": trouble,
        "caller": caller_of(request.scope),
        "code": form.code,
        "after": form.after if form.after in AFTERWARDS else "",
        "request_id": form.request_id or new_request_id(),
        "why_not": why_not(request),
        "way": request.app.state.way,
        "devices": DEVICES,
        "device": device_of(request),
    }
    return rendering.page(request, "people/sign-in.html", values, status)


@router.get("")
def ask(request: Request, after: str = "") -> Response:
    """A passkey or a recovery code is asked for."""
    return _page(request, SignInForm(after=after))


@router.post("")
def recover(
    request: Request, context: ContextDep, caller: CallerDep, form: Annotated[SignInForm, Form()]
) -> Response:
    """Let somebody in by a recovery code."""
    wanted = recovery.Recovering(form.code, form.device, once=form.request_id)
    try:
        paired = recovery.recover(context, caller, wanted)
    except SteadingError as error:
        problem = of_error(error)
        tell(request.scope, problem.name)
        refused = _page(request, form, problem.status, problem.detail)
        if isinstance(error, TooOften):
            refused.headers["Retry-After"] = str(error.seconds)
        return refused
    answer = see(AFTERWARDS.get(form.after, "/passkeys"), "recovered")
    keep_in_browser(answer, request.url.scheme, paired.secret, seconds_of(paired.session))
    return answer
