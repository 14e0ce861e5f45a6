"""`POST /api/passkeys/begin`: what a device is asked to sign for a new passkey."""

from typing import Any

from fastapi import APIRouter, Request, Response
from pydantic import BaseModel, TypeAdapter

from coach.household import passkeys
from coach.web.api.answers import problems, written
from coach.web.api.strictness import SecretRoute
from coach.web.deps import CallerDep, ContextDep
from coach.web.relying import party_of

router = APIRouter(prefix="/passkeys", tags=["people"], route_class=SecretRoute)


class Options(BaseModel):
    """What a browser is asked.

    Attributes:
        publicKey: The options of Web Authentication as JSON; bytes are in base64url.
    """

    publicKey: dict[str, Any]  # noqa: N815  as the standard has it


OPTIONS = TypeAdapter(Options)


@router.post(
    "/begin",
    status_code=201,
    response_model=Options,
    responses=problems("unpaired", "not-allowed", "confirm-first", "not-editable", "too-often"),
)
def begin(request: Request, context: ContextDep, caller: CallerDep) -> Response:
    """Begin to add one: the options for `navigator.credentials.create`, for five minutes and one answer."""
    options = passkeys.begin(context, caller, party_of(request))
    return written(OPTIONS, Options(publicKey=options), 201)
