"""`/api/week`, `/api/load`, `/api/balance`, `/api/available`: a week, its minutes, and jobs that move."""

from typing import Annotated

from fastapi import APIRouter, Path, Query, Response
from pydantic import Field, TypeAdapter

from coach.ground.ports import Context
from coach.web.api.answers import problems, written
from coach.web.api.fields import WEEK_NAME
from coach.web.api.seen import IfMatch, matching, tagged
from coach.web.api.strictness import StrictRoute
from coach.web.api.week.bodies import AcceptBody, AvailableBody
from coach.web.deps import ContextDep, HouseholdDep
from coach.week import balance as balancing
from coach.week import days as service
from coach.week import moves as week_moves
from coach.week.answers import Available, Balance, Load, Week

router = APIRouter(tags=["week"], route_class=StrictRoute)

WEEK = TypeAdapter(Week)
LOAD = TypeAdapter(Load)
BALANCE = TypeAdapter(Balance)
AVAILABLE = TypeAdapter(Available)

NAME = "A week's name in ISO 8601's form."
Named = Annotated[
    str, Path(description=NAME, examples=["2027-W05"], max_length=20, json_schema_extra=WEEK_NAME)
]
Asked = Annotated[
    Annotated[str, Field(max_length=20, json_schema_extra=WEEK_NAME)] | None,
    Query(description=f"{NAME} Without it, the current week."),
]

ERRORS = problems("not-started", "unknown")
BALANCE_ERRORS = problems("not-started", "unknown", "not-editable")
CHANGE_ERRORS = problems("not-started", "unknown", "not-editable", "outdated")


def _seen_week(context: Context, if_match: str | None, name: str | None = None) -> Context:
    """The context for a change that holds while a week is as it was read."""
    return matching(context, if_match, WEEK, lambda where: service.week_in(where, name))


@router.get("/week", response_model=Week, responses=problems("not-started"))
def week(context: ContextDep, household: HouseholdDep) -> Response:
    """The current week: seven days with everything due, how past days closed, what cannot fit; its ETag."""
    return tagged(WEEK, service.week(context, household))


@router.get("/week/{week}", response_model=Week, responses=ERRORS)
def week_named(context: ContextDep, household: HouseholdDep, week: Named) -> Response:
    """A week by its name, from the household's first to ten years ahead; past ones can only be read."""
    return tagged(WEEK, service.week(context, household, week))


@router.post("/week/undo", response_model=Week, responses=CHANGE_ERRORS)
def undo(context: ContextDep, household: HouseholdDep, if_match: IfMatch = None) -> Response:
    """Take back what was moved last; the answer is the current week, whose ETag `If-Match` can carry."""
    week_moves.undo(_seen_week(context, if_match), household)
    return written(WEEK, service.week(context, household))


@router.get("/load", response_model=Load, responses=ERRORS)
def load(context: ContextDep, household: HouseholdDep, week: Asked = None) -> Response:
    """The minutes of a week's dates beside those available, with any overload in words."""
    return written(LOAD, service.load(context, household, week))


@router.get("/balance", response_model=Balance, responses=BALANCE_ERRORS)
def balance(context: ContextDep, household: HouseholdDep, week: Asked = None) -> Response:
    """Other days for a week's jobs under which it would be as even as it can be; nothing changes."""
    return written(BALANCE, balancing.balance(context, household, week))


@router.post("/balance", response_model=Week, responses=CHANGE_ERRORS)
def accept(
    context: ContextDep, household: HouseholdDep, body: AcceptBody, if_match: IfMatch = None
) -> Response:
    """Move the jobs as proposed, from today on; the answer is the week, whose ETag `If-Match` can carry."""
    balancing.accept(_seen_week(context, if_match, body.week), household, body.week, body.moves)
    return written(WEEK, service.week(context, household, body.week))


@router.get("/available", response_model=Available, responses=problems("not-started"))
def available(context: ContextDep, household: HouseholdDep) -> Response:
    """The minutes the household has on each weekday; null where it has not said; its ETag."""
    return tagged(AVAILABLE, service.available(context, household))


@router.put("/available", response_model=Available, responses=problems("not-started", "outdated"))
def set_available(
    context: ContextDep, household: HouseholdDep, body: AvailableBody, if_match: IfMatch = None
) -> Response:
    """Say how many minutes there are on weekdays; those left out stay as they are."""
    said = {str(weekday): number for weekday, number in body.minutes.items()}
    seen = matching(context, if_match, AVAILABLE, service.available_in)
    return written(AVAILABLE, service.set_available(seen, household, said))
