"""`/api/shopping`: what the coming dinners need, and what was written on the list."""

from typing import Annotated

from fastapi import APIRouter, Path, Query, Response
from pydantic import TypeAdapter

from coach.ground.situation import looking
from coach.kitchen import shopping as service
from coach.kitchen import shopping_lines
from coach.kitchen.answers import Shopping, WrittenLine
from coach.kitchen.shopping import MOST_DAYS, USUAL_DAYS
from coach.web.api.answers import problems, written
from coach.web.api.fields import IN_DIGITS
from coach.web.api.kitchen.bodies import LineBody, LinesBody, TickBody
from coach.web.api.seen import IfMatch, matching, tagged
from coach.web.api.strictness import StrictRoute
from coach.web.deps import ContextDep, HouseholdDep

router = APIRouter(prefix="/shopping", tags=["dinner"], route_class=StrictRoute)

SHOPPING = TypeAdapter(Shopping)
LINE = TypeAdapter(WrittenLine)
Days = Annotated[int, Query(ge=1, le=MOST_DAYS, description="How many days, today included."), IN_DIGITS]
LineId = Annotated[str, Path(description="As in `written`.", pattern=r"^[0-9-]{10,20}$")]
ERRORS = problems("not-started", "unknown")
CHANGE_ERRORS = problems("not-started", "unknown", "outdated")


@router.get("", response_model=Shopping, responses=problems("not-started"))
def shopping(context: ContextDep, household: HouseholdDep, days: Days = USUAL_DAYS) -> Response:
    """What coming dinners need and what was written down, the same merged; its ETag is for these `days`."""
    return tagged(SHOPPING, service.shopping(context, household, days))


@router.put("", response_model=Shopping, responses=problems("not-started", "outdated"))
def tick(context: ContextDep, household: HouseholdDep, body: TickBody, if_match: IfMatch = None) -> Response:
    """Tick a line as at home or in the basket, or take its ticks back."""
    seen = matching(context, if_match, SHOPPING, lambda where: service.shopping_in(where, body.days))
    return written(SHOPPING, service.tick(seen, household, body.key, body.tick, body.days))


@router.post(
    "/lines", status_code=201, response_model=Shopping, responses=problems("not-started", "not-editable")
)
def add(context: ContextDep, household: HouseholdDep, body: LinesBody) -> Response:
    """Write lines on the list, all or none of them."""
    return written(SHOPPING, shopping_lines.add_lines(context, household, body.lines, body.days), 201)


@router.get("/lines/{line}", response_model=WrittenLine, responses=ERRORS)
def one(context: ContextDep, household: HouseholdDep, line: LineId) -> Response:
    """A line that somebody wrote, with the ETag that a change of it can carry."""
    with looking(context, household) as where:
        return tagged(LINE, shopping_lines.line_in(where, line))


@router.put("/lines/{line}", response_model=Shopping, responses=CHANGE_ERRORS)
def change(
    context: ContextDep, household: HouseholdDep, line: LineId, body: LineBody, if_match: IfMatch = None
) -> Response:
    """Change a line; with other words or another amount it is to be bought again."""
    seen = matching(context, if_match, LINE, lambda where: shopping_lines.line_in(where, line))
    return written(SHOPPING, shopping_lines.change(seen, household, line, body.text))


@router.delete("/lines/{line}", response_model=Shopping, responses=CHANGE_ERRORS)
def remove(context: ContextDep, household: HouseholdDep, line: LineId, if_match: IfMatch = None) -> Response:
    """Take a line off."""
    seen = matching(context, if_match, LINE, lambda where: shopping_lines.line_in(where, line))
    return written(SHOPPING, shopping_lines.remove(seen, household, line))


@router.delete("/ticked", response_model=Shopping, responses=problems("not-started", "outdated"))
def clear(
    context: ContextDep, household: HouseholdDep, days: Days = USUAL_DAYS, if_match: IfMatch = None
) -> Response:
    """Take the written lines off that are ticked; `If-Match` takes the ETag of a GET of the same `days`."""
    seen = matching(context, if_match, SHOPPING, lambda where: service.shopping_in(where, days))
    return written(SHOPPING, shopping_lines.clear(seen, household, days=days))
