"""`/api/months`: what was kept on the days of a month."""

from typing import Annotated

from fastapi import APIRouter, Path, Response
from pydantic import TypeAdapter

from coach.habits import month as service
from coach.habits.gone_by import Month
from coach.web.api.answers import problems, written
from coach.web.api.strictness import StrictRoute
from coach.web.deps import ContextDep, HouseholdDep

router = APIRouter(tags=["days"], route_class=StrictRoute)

MONTH = TypeAdapter(Month)
Named = Annotated[
    str,
    Path(
        description="A month, ISO 8601.",
        examples=["2027-01"],
        max_length=20,
        json_schema_extra={"pattern": r"^[1-9][0-9]{3}-(0[1-9]|1[0-2])$"},
    ),
]


@router.get("/months/{month}", response_model=Month, responses=problems("not-started", "unknown"))
def month(context: ContextDep, household: HouseholdDep, month: Named) -> Response:
    """A month from that of the start to the current one: its days, and what came and settled in it."""
    return written(MONTH, service.month(context, household, month))
