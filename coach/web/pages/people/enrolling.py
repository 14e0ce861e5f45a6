"""`/enrol`: a new household begins by an invitation, with two names and the three questions of the start."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Annotated

from fastapi import APIRouter, Form, Request, Response
from pydantic import BaseModel, ConfigDict

from coach.errors import Malformed, NotAllowed, SteadingError, TooOften, Unknown, WrongCode
from coach.ground.people import Caller
from coach.ground.ports import Context
from coach.household import enrolling, new_home, pairing, start
from coach.household.devices import seconds_of
from coach.household.start import Beginning
from coach.web.deps import CallerDep, ContextDep
from coach.web.events import tell
from coach.web.pages.household.start import regions
from coach.web.pages.once import new_request_id
from coach.web.pages.ways import see
from coach.web.pairing import device_of
from coach.web.problems import of_error
from coach.web.rendering import page
from coach.web.sessions import keep_in_browser

router = APIRouter()

ENROL = "/enrol"
NO_ZONE = "Choose your time zone."


class EnrolForm(BaseModel):
    """The code alone, or with who enrols, what the household is called and the three answers."""

    model_config = ConfigDict(extra="forbid")

    code: str = ""
    person: str = ""
    name: str = ""
    household: str = ""
    first: str = ""
    zone: str = ""
    day_starts: str = "03:00"
    pace: str = "standard"
    asked: str = ""
    request_id: str = ""


def enrol_page(
    request: Request,
    context: Context,
    caller: Caller,
    form: EnrolForm,
    error: SteadingError | None = None,
) -> Response:
    """The page: the code is asked for until one fits, then the rest.

    Args:
        request: What is answered.
        context: Store, lessons and clock.
        caller: Who asks.
        form: What was said so far.
        error: What speaks against it.
    """
    if not form.code:
        return _page(request, form, {"start": None}, error)
    try:
        found = new_home.invited(context, caller, form.code)
    except (WrongCode, TooOften, Malformed, NotAllowed) as refused:
        return _page(request, form, {"start": None}, refused)
    course = replace(context, course=new_home.course_of(context, found.group))
    offered = start.choices(course, "")
    values = {
        "start": offered,
        "today": context.pretend or context.clock().date(),
        "regions": regions(offered.zones),
        "group": found.group,
        "called": form.household or found.code.name,
        "caller": caller,
    }
    return _page(request, form, values, error)


def _page(
    request: Request, form: EnrolForm, values: Mapping[str, object], error: SteadingError | None
) -> Response:
    problem = of_error(error) if error else None
    shown = {
        "navigation": False,
        "trouble": problem.detail if problem else None,
        "filled": form,
        "request_id": form.request_id or new_request_id(),
        **values,
    }
    if problem is not None:
        tell(request.scope, problem.name)
    headers = {"Retry-After": str(error.seconds)} if isinstance(error, TooOften) else None
    return page(request, "people/enrol.html", shown, problem.status if problem else 200, headers)


@router.get(ENROL)
def ask(request: Request, context: ContextDep, caller: CallerDep) -> Response:
    """The code is asked for."""
    return enrol_page(request, context, caller, EnrolForm())


@router.post(ENROL)
def enrol(
    request: Request, context: ContextDep, caller: CallerDep, form: Annotated[EnrolForm, Form()]
) -> Response:
    """Ask the rest, once the code fits; begin, once that is said."""
    if not form.asked:
        return enrol_page(request, context, caller, form)
    wanted = pairing.Pairing(
        form.code, form.name, device_of(request), person=form.person, once=form.request_id
    )
    if not form.zone:
        return enrol_page(request, context, caller, form, Malformed(NO_ZONE))
    try:
        beginning = Beginning(form.first, form.zone, form.day_starts, form.pace)
        paired = enrolling.enrol(context, caller, wanted, beginning, form.household)
    except (Malformed, NotAllowed, Unknown) as error:
        return enrol_page(request, context, caller, form, error)
    except (WrongCode, TooOften) as error:
        return enrol_page(request, context, caller, EnrolForm(), error)
    answer = see("/today")
    keep_in_browser(answer, request.url.scheme, paired.secret, seconds_of(paired.session))
    return answer
