"""`POST /api/recovery`: a recovery sheet, its codes shown this once."""

from fastapi import APIRouter, Response
from pydantic import TypeAdapter

from coach.household import recovery
from coach.household.ways_in_answers import NewSheet
from coach.web.api.answers import problems, written
from coach.web.api.strictness import SecretRoute
from coach.web.deps import CallerDep, ContextDep

router = APIRouter(prefix="/recovery", tags=["people"], route_class=SecretRoute)

SHEET = TypeAdapter(NewSheet)


@router.post(
    "",
    status_code=201,
    response_model=NewSheet,
    responses=problems("unpaired", "not-allowed", "confirm-first", "not-editable"),
)
def make(context: ContextDep, caller: CallerDep) -> Response:
    """Make ten codes, each good once, in the place of the sheet before; they are in this answer alone."""
    return written(SHEET, recovery.new_sheet(context, caller), 201)
