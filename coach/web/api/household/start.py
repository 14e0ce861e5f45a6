"""`/api/start`: the household's first choices."""

from fastapi import APIRouter, Response

from coach.habits.answers import Day
from coach.household import start as service
from coach.web.api.answers import DAY, problems, written
from coach.web.api.household.bodies import StartBody
from coach.web.api.strictness import StrictRoute
from coach.web.deps import ContextDep, HouseholdDep

router = APIRouter(prefix="/start", tags=["start"], route_class=StrictRoute)


@router.post("", status_code=201, response_model=Day, responses=problems("already-started", "unknown"))
def start(context: ContextDep, household: HouseholdDep, body: StartBody) -> Response:
    """Begin with one step; the answer is the first day. Starting twice is a 409."""
    day = service.start(context, household, body.first, body.zone, body.day_starts, body.pace)
    return written(DAY, day, 201)
