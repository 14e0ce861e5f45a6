"""`/api/home`: everything of the household in one file, to take along."""

from fastapi import APIRouter, Response

from coach.household import leaving
from coach.web.api.answers import problems
from coach.web.api.strictness import StrictRoute
from coach.web.deps import ContextDep, HouseholdDep

router = APIRouter(prefix="/home", tags=["log"], route_class=StrictRoute)

ZIP = "application/zip"
ATTACHED = {"content-disposition": 'attachment; filename="steading-home.zip"'}


class ZipResponse(Response):
    """A ZIP for a download."""

    media_type = ZIP


@router.get("", response_class=ZipResponse, responses=problems("not-started", "not-allowed"))
def take_along(context: ContextDep, household: HouseholdDep) -> Response:
    """The log, the plan and its history, the course as it was followed, settings and names; for keepers."""
    return Response(leaving.take_along(context, household), headers=ATTACHED, media_type=ZIP)
