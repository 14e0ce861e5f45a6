"""`/api/quick`: the quick line, read and said back first, then saved."""

from typing import Annotated

from fastapi import APIRouter, Query, Response
from pydantic import TypeAdapter

from coach.desk import quick as service
from coach.desk.answers import QuickRead, QuickSaved
from coach.web.api.answers import problems, written
from coach.web.api.desk.bodies import QuickBody
from coach.web.api.strictness import StrictRoute
from coach.web.deps import ContextDep, HouseholdDep

router = APIRouter(prefix="/quick", tags=["desk"], route_class=StrictRoute)

READ = TypeAdapter(QuickRead)
SAVED = TypeAdapter(QuickSaved)
Line = Annotated[
    str, Query(max_length=2000, examples=["renew library card fri"], json_schema_extra={"maxLength": 250})
]


@router.get("", response_model=QuickRead, responses=problems("not-started"))
def read(context: ContextDep, household: HouseholdDep, line: Line) -> Response:
    """Read a line such as “renew library card fri”; nothing is saved."""
    return written(READ, service.read(context, household, line))


@router.post(
    "", status_code=201, response_model=QuickSaved, responses=problems("not-started", "not-editable")
)
def save(context: ContextDep, household: HouseholdDep, body: QuickBody) -> Response:
    """Save what was said back."""
    return written(SAVED, service.save(context, household, body.typed()), 201)
