"""`/api/passkeys`: a person's passkeys."""

from typing import Annotated

from fastapi import APIRouter, Path, Query, Request, Response
from pydantic import TypeAdapter

from coach.ground.people import Caller
from coach.ground.ports import Context
from coach.household import passkeys
from coach.household.ways_in_answers import WaysIn
from coach.web.api.answers import problems, written
from coach.web.api.fields import AsWritten
from coach.web.api.people.bodies import PasskeyBody, PasskeyNameBody
from coach.web.api.strictness import StrictRoute
from coach.web.deps import CallerDep, ContextDep
from coach.web.relying import party_of, why_not

router = APIRouter(prefix="/passkeys", tags=["people"], route_class=StrictRoute)

LONGEST_ID = 1400
"""Characters of a credential's id: 1,023 bytes at most, in base64url."""

PasskeyId = Annotated[str, Path(description="Its `id`, as the list has it.", max_length=LONGEST_ID)]
Last = Annotated[AsWritten | None, Query(description="`true`: it may be the last, with no recovery sheet.")]


WAYS_IN = TypeAdapter(WaysIn)


def _shown(request: Request, context: Context, caller: Caller, status: int = 200) -> Response:
    return written(WAYS_IN, passkeys.ways_in(context, caller, why_not(request)), status)


@router.get("", response_model=WaysIn, responses=problems("unpaired"))
def look(request: Request, context: ContextDep, caller: CallerDep) -> Response:
    """Your passkeys and your recovery sheet, and whether passkeys can be had at this address."""
    return _shown(request, context, caller)


@router.post(
    "",
    status_code=201,
    response_model=WaysIn,
    responses=problems("unpaired", "not-allowed", "confirm-first", "wrong-passkey", "not-editable"),
)
def add(request: Request, context: ContextDep, caller: CallerDep, body: PasskeyBody) -> Response:
    """Add the one that the device has made; the answer is all of them."""
    passkeys.add(context, caller, party_of(request), body.answer, body.name)
    return _shown(request, context, caller, 201)


@router.patch(
    "/{passkey}",
    response_model=WaysIn,
    responses=problems("unpaired", "not-allowed", "unknown", "not-editable"),
)
def rename(
    request: Request, context: ContextDep, caller: CallerDep, passkey: PasskeyId, body: PasskeyNameBody
) -> Response:
    """Call one something else; the answer is all of them."""
    passkeys.rename(context, caller, passkey, body.name)
    return _shown(request, context, caller)


@router.delete(
    "/{passkey}",
    response_model=WaysIn,
    responses=problems("unpaired", "not-allowed", "confirm-first", "unknown", "not-editable"),
)
def remove(
    request: Request, context: ContextDep, caller: CallerDep, passkey: PasskeyId, last: Last = None
) -> Response:
    """Remove one: nobody signs in with it any more. The answer is what is left."""
    passkeys.remove(context, caller, passkey, last=bool(last))
    return _shown(request, context, caller)
