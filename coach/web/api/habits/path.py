"""`/api/path`: the progression graph as the household stands on it."""

from fastapi import APIRouter, Response

from coach.habits import path as service
from coach.habits.path_answers import Path
from coach.web.api.answers import PATH, problems, written
from coach.web.api.strictness import StrictRoute
from coach.web.deps import ContextDep, HouseholdDep

router = APIRouter(tags=["path"], route_class=StrictRoute)


@router.get("/path", response_model=Path, responses=problems())
def path(context: ContextDep, household: HouseholdDep) -> Response:
    """Every step in course order with where it stands; before the start, the course with every step ahead."""
    return written(PATH, service.path(context, household))
