"""`/pair` and `/sign-out`: a device comes in by a code, and goes again."""

from typing import Annotated

from fastapi import APIRouter, Form, Request, Response
from pydantic import BaseModel, ConfigDict

from coach.errors import Malformed, NotAllowed, SteadingError, TooOften, WrongCode
from coach.household import paired, pairing
from coach.household.devices import seconds_of
from coach.web.deps import CallerDep, ContextDep
from coach.web.events import tell
from coach.web.pages.people.enrolling import EnrolForm, enrol_page
from coach.web.pages.ways import see
from coach.web.pairing import PAIR, pairing_page
from coach.web.problems import of_error
from coach.web.sessions import drop_in_browser, keep_in_browser

router = APIRouter()

NAME = "name"
"""What the second form says that it asked for where somebody new types a name."""


class PairForm(BaseModel):
    """The code alone, or with who pairs: the key of one of the household's people, or a new name."""

    model_config = ConfigDict(extra="forbid")

    code: str = ""
    person: str = ""
    name: str = ""
    device: str = ""
    asked: str = ""
    request_id: str = ""


@router.get(PAIR)
def ask(request: Request) -> Response:
    """The code is asked for."""
    return pairing_page(request)


@router.post(PAIR)
def pair(
    request: Request, context: ContextDep, caller: CallerDep, form: Annotated[PairForm, Form()]
) -> Response:
    """Ask who it is, once the code fits; let the device in, once that is said."""
    try:
        if not (form.person or form.asked == NAME):
            found = pairing.names(context, caller, form.code)
            if found.kind == "household":
                return enrol_page(
                    request, context, caller, EnrolForm(code=form.code, request_id=form.request_id)
                )
            return pairing_page(request, code=form.code, request_id=form.request_id, names=found)
        wanted = pairing.Pairing(form.code, form.name, form.device, person=form.person, once=form.request_id)
        paired = pairing.pair(context, caller, wanted)
    except (Malformed, NotAllowed) as error:
        return _asked_again(request, context, caller, form, error)
    except (WrongCode, TooOften) as error:
        return _refused(request, form, error)
    answer = see("/today" if paired.household else "/groups")
    keep_in_browser(answer, request.url.scheme, paired.secret, seconds_of(paired.session))
    return answer


def _refused(request: Request, form: PairForm, error: SteadingError) -> Response:
    """The code is asked for once more, with what is wrong with it."""
    problem = of_error(error)
    tell(request.scope, problem.name)
    answer = pairing_page(request, problem.status, problem.detail, form.code, form.request_id)
    if isinstance(error, TooOften):
        answer.headers["Retry-After"] = str(error.seconds)
    return answer


def _asked_again(
    request: Request, context: ContextDep, caller: CallerDep, form: PairForm, error: SteadingError
) -> Response:
    """Who it is is asked for once more."""
    problem = of_error(error)
    try:
        found = pairing.names(context, caller, form.code)
    except (WrongCode, TooOften) as refused:
        return _refused(request, form, refused)
    return pairing_page(request, problem.status, problem.detail, form.code, form.request_id, found)


@router.post("/sign-out")
def sign_out(request: Request, context: ContextDep, caller: CallerDep) -> Response:
    """End this device; the browser lets go of whatever it keeps."""
    paired.sign_out(context, caller)
    if caller.session is None:
        return see("/more")
    answer = see(PAIR)
    drop_in_browser(answer, request.url.scheme)
    return answer
