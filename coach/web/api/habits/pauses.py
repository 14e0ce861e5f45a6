"""`/api/pause` and `/api/resume`: times away and the way back."""

from fastapi import APIRouter, Response

from coach.habits import pauses as service
from coach.habits.answers import Day
from coach.web.api.answers import DAY, problems, written
from coach.web.api.habits.bodies import PauseBody, ResumeBody
from coach.web.api.strictness import StrictRoute
from coach.web.deps import ContextDep, HouseholdDep

router = APIRouter(tags=["away"], route_class=StrictRoute)

ERRORS = problems("not-started", "not-editable")


@router.post("/pause", response_model=Day, responses=ERRORS)
def pause(context: ContextDep, household: HouseholdDep, body: PauseBody | None = None) -> Response:
    """Be away from today or a later date, until a date or open end; the answer is today as it now stands."""
    asked = body or PauseBody()
    return written(DAY, service.pause(context, household, asked.since, asked.until))


@router.post("/resume", response_model=Day, responses=ERRORS)
def resume(context: ContextDep, household: HouseholdDep, body: ResumeBody | None = None) -> Response:
    """End a pause, come back after a lapse, or call a planned pause off; the answer is today."""
    asked = body or ResumeBody()
    if asked.since is not None:
        return written(DAY, service.call_off(context, household, asked.since))
    return written(DAY, service.resume(context, household, asked.choice))
