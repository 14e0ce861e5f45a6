"""`/api/pace`: how much is asked of a step before it settles and the next one comes."""

from fastapi import APIRouter, Response
from pydantic import TypeAdapter

from coach.household import pace as service
from coach.household.answers import Pace
from coach.web.api.answers import problems, written
from coach.web.api.household.bodies import PaceBody
from coach.web.api.seen import IfMatch, matching, tagged
from coach.web.api.strictness import StrictRoute
from coach.web.deps import ContextDep, HouseholdDep

router = APIRouter(prefix="/pace", tags=["pace"], route_class=StrictRoute)

PACE = TypeAdapter(Pace)


@router.get("", response_model=Pace, responses=problems("not-started"))
def pace(context: ContextDep, household: HouseholdDep) -> Response:
    """The household's pace and those of its course, with what each means; its ETag."""
    return tagged(PACE, service.pace(context, household))


@router.put("", response_model=Pace, responses=problems("not-started", "outdated"))
def choose(
    context: ContextDep, household: HouseholdDep, body: PaceBody, if_match: IfMatch = None
) -> Response:
    """Go at another pace of the course from today on; what has settled stays settled."""
    seen = matching(context, if_match, PACE, service.pace_in)
    return written(PACE, service.choose(seen, household, body.pace))
