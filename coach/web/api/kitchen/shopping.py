"""`/api/shopping`: what the coming dinners need."""

from typing import Annotated

from fastapi import APIRouter, Query, Response
from pydantic import TypeAdapter

from coach.kitchen import shopping as service
from coach.kitchen.answers import Shopping
from coach.kitchen.shopping import MOST_DAYS, USUAL_DAYS
from coach.web.api.answers import problems, written
from coach.web.api.fields import IN_DIGITS
from coach.web.api.kitchen.bodies import TickBody
from coach.web.api.seen import IfMatch, matching, tagged
from coach.web.api.strictness import StrictRoute
from coach.web.deps import ContextDep, HouseholdDep

router = APIRouter(prefix="/shopping", tags=["dinner"], route_class=StrictRoute)

SHOPPING = TypeAdapter(Shopping)
Days = Annotated[int, Query(ge=1, le=MOST_DAYS, description="How many days, today included."), IN_DIGITS]


@router.get("", response_model=Shopping, responses=problems("not-started"))
def shopping(context: ContextDep, household: HouseholdDep, days: Days = USUAL_DAYS) -> Response:
    """The ingredient lines of the coming dinners, the same ones merged; its ETag is for the same `days`."""
    return tagged(SHOPPING, service.shopping(context, household, days))


@router.put("", response_model=Shopping, responses=problems("not-started", "outdated"))
def tick(context: ContextDep, household: HouseholdDep, body: TickBody, if_match: IfMatch = None) -> Response:
    """Tick a line as at home or in the basket, or take its ticks back."""
    seen = matching(context, if_match, SHOPPING, lambda where: service.shopping_in(where, body.days))
    return written(SHOPPING, service.tick(seen, household, body.key, body.tick, body.days))
