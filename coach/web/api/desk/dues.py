"""`/api/dues`: bills, renewals and appointments, and what the desk-work day has to see."""

from fastapi import APIRouter, Response
from pydantic import TypeAdapter

from coach.desk import dues
from coach.desk import overview as desk
from coach.desk.answers import Desk, DueView
from coach.ground.situation import looking
from coach.web.api.answers import problems, written
from coach.web.api.desk.bodies import DueBody, DueId
from coach.web.api.fields import On
from coach.web.api.seen import IfMatch, matching, tagged
from coach.web.api.strictness import StrictRoute
from coach.web.deps import ContextDep, HouseholdDep

router = APIRouter(prefix="/dues", tags=["desk"], route_class=StrictRoute)

DESK = TypeAdapter(Desk)
DUE = TypeAdapter(DueView)
ERRORS = problems("not-started", "unknown")
CHANGE_ERRORS = problems("not-started", "unknown", "outdated")


@router.get("", response_model=Desk, responses=problems("not-started"))
def dues_now(context: ContextDep, household: HouseholdDep) -> Response:
    """What is late, what comes before the next desk-work day, and what comes later."""
    return written(DESK, desk.desk(context, household))


@router.post("", status_code=201, response_model=Desk, responses=problems("not-started", "not-editable"))
def add(context: ContextDep, household: HouseholdDep, body: DueBody) -> Response:
    """Write a due down; `Location` names it."""
    due, found = dues.add(context, household, body.typed())
    answer = written(DESK, found, 201)
    answer.headers["location"] = f"/api/dues/{due}"
    return answer


@router.get("/{due}", response_model=DueView, responses=ERRORS)
def one(context: ContextDep, household: HouseholdDep, due: DueId) -> Response:
    """One due, with the ETag that a change of it can carry."""
    with looking(context, household) as where:
        return tagged(DUE, desk.due_in(where, due))


@router.put("/{due}", response_model=Desk, responses=CHANGE_ERRORS)
def change(
    context: ContextDep, household: HouseholdDep, due: DueId, body: DueBody, if_match: IfMatch = None
) -> Response:
    """Change a due; with another date or rule it begins anew."""
    seen = matching(context, if_match, DUE, lambda where: desk.due_in(where, due))
    return written(DESK, dues.change(seen, household, due, body.typed()))


@router.delete("/{due}", response_model=Desk, responses=CHANGE_ERRORS)
def remove(context: ContextDep, household: HouseholdDep, due: DueId, if_match: IfMatch = None) -> Response:
    """Take a due off, with all its dates to come."""
    seen = matching(context, if_match, DUE, lambda where: desk.due_in(where, due))
    return written(DESK, dues.remove(seen, household, due))


@router.put("/{due}/seen-to/{date}", response_model=Desk, responses=ERRORS)
def see_to(context: ContextDep, household: HouseholdDep, due: DueId, date: On) -> Response:
    """Say that a date of a due is seen to, or paid; twice is the same as once."""
    return written(DESK, dues.see_to(context, household, due, date))


@router.delete("/{due}/seen-to/{date}", response_model=Desk, responses=ERRORS)
def reopen(context: ContextDep, household: HouseholdDep, due: DueId, date: On) -> Response:
    """Say that it is not seen to after all."""
    return written(DESK, dues.reopen(context, household, due, date))
