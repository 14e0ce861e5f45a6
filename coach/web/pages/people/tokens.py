"""`/devices/tokens`: tokens for programs, made and ended on the page of devices."""

from typing import Annotated, Literal

from fastapi import APIRouter, Form, Request, Response
from pydantic import BaseModel, ConfigDict

from coach.errors import SteadingError
from coach.household import tokens
from coach.web.dates import IsoDate
from coach.web.deps import CallerDep, ContextDep
from coach.web.pages.people.devices import Made, devices_page
from coach.web.pages.ways import see

router = APIRouter(prefix="/devices/tokens")


class TokenForm(BaseModel):
    """What a token is for, what it may do, until when, and whose it is where the machine itself asks."""

    model_config = ConfigDict(extra="forbid")

    name: str = ""
    scope: Literal["read", "write"] = "read"
    until: IsoDate | None = None
    person: str = ""


@router.post("")
def make(
    request: Request, context: ContextDep, caller: CallerDep, form: Annotated[TokenForm, Form()]
) -> Response:
    """A new token, shown this once."""
    try:
        made = tokens.new_token(context, caller, form.name, form.scope, form.until, form.person)
    except SteadingError as error:
        return devices_page(request, context, caller, error=error)
    return devices_page(request, context, caller, Made(token=made))


@router.post("/{token}/end")
def end(request: Request, context: ContextDep, caller: CallerDep, token: str) -> Response:
    """It is let in no more."""
    try:
        tokens.end(context, caller, token)
    except SteadingError as error:
        return devices_page(request, context, caller, error=error)
    return see("/devices", "ended")
