"""`/leave`: everything of the household in one file, and how it lives on elsewhere."""

from fastapi import APIRouter, Request, Response

from coach.household.bringing import BRING_DAYS
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.navigation import open_places
from coach.web.rendering import page

router = APIRouter(prefix="/leave")


@router.get("")
def leave(request: Request, context: ContextDep, household: HouseholdDep) -> Response:
    """What is in the file, what is not, and what to do with it."""
    home = context.store.version(household)
    values = {
        "started": home is not None,
        "in_group": home is not None and bool(home.group),
        "bring_days": BRING_DAYS,
    }
    return page(request, "household/leave.html", values, places=open_places(context, household))
