"""`/api/tokens`: the tokens of programs, listed and ended."""

from fastapi import APIRouter, Response
from pydantic import TypeAdapter

from coach.household import tokens
from coach.household.people_answers import Tokens
from coach.web.api.answers import problems, written
from coach.web.api.people.paths import SessionId
from coach.web.api.strictness import StrictRoute
from coach.web.deps import CallerDep, ContextDep

router = APIRouter(prefix="/tokens", tags=["people"], route_class=StrictRoute)

TOKENS = TypeAdapter(Tokens)


@router.get("", response_model=Tokens, responses=problems("unpaired"))
def look(context: ContextDep, caller: CallerDep) -> Response:
    """The tokens that hold: for a keeper all of the household's, for a member their own."""
    return written(TOKENS, tokens.tokens(context, caller))


@router.delete("/{token}", response_model=Tokens, responses=problems("unpaired", "unknown", "not-allowed"))
def end(context: ContextDep, caller: CallerDep, token: SessionId) -> Response:
    """End one: its next request is a 401. The answer is what holds still."""
    tokens.end(context, caller, token)
    return written(TOKENS, tokens.tokens(context, caller))
