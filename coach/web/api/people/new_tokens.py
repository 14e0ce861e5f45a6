"""`POST /api/tokens`: a token for a program, shown this once."""

import datetime as dt

from fastapi import APIRouter, Response
from pydantic import BaseModel, TypeAdapter

from coach.household import tokens
from coach.web.api.answers import problems, written
from coach.web.api.people.bodies import TokenBody
from coach.web.api.strictness import SecretRoute
from coach.web.deps import CallerDep, ContextDep

router = APIRouter(prefix="/tokens", tags=["people"], route_class=SecretRoute)


class MadeToken(BaseModel):
    """A token that was just made.

    Attributes:
        token: What a program shows from now on; said this once.
        id: Names it where tokens are listed.
        ends_at: When it ends.
    """

    token: str
    id: str
    ends_at: dt.datetime


MADE = TypeAdapter(MadeToken)


@router.post("", status_code=201, response_model=MadeToken, responses=problems("unpaired", "not-allowed"))
def make(context: ContextDep, caller: CallerDep, body: TokenBody) -> Response:
    """Make a token; what a program shows is in this answer and nowhere else."""
    made = tokens.new_token(context, caller, body.name, body.scope, body.until, body.person)
    shown = MadeToken(token=made.secret, id=made.token.id, ends_at=made.token.ends_at)
    return written(MADE, shown, 201)
