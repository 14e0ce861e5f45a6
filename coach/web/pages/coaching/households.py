"""`/groups/{group}/households`: those that share by name, and what one of them lets be seen."""

from typing import Annotated

from fastapi import APIRouter, Path, Query, Request, Response

from coach.coaching import households as service
from coach.coaching.groups import one_group
from coach.web.deps import CallerDep, ContextDep
from coach.web.pages.coaching.shown import GroupId, shown

router = APIRouter(prefix="/groups/{group}/households")

HouseholdId = Annotated[str, Path(max_length=100)]
PageNumber = Annotated[int, Query(ge=1, le=1000)]


@router.get("")
def look(
    request: Request, context: ContextDep, caller: CallerDep, group: GroupId, page: PageNumber = 1
) -> Response:
    """All that share by name, and who of them may want a word."""
    first = (page - 1) * service.ON_A_PAGE
    seen = service.households(context, caller, group, first)
    values = {
        "group_id": group,
        "group": one_group(context, caller, group),
        "seen": seen,
        "earlier": page - 1 if page > 1 else None,
        "later": page + 1 if first + service.ON_A_PAGE < seen.by_name else None,
    }
    return shown(request, "households.html", values)


@router.get("/{household}")
def one(
    request: Request, context: ContextDep, caller: CallerDep, group: GroupId, household: HouseholdId
) -> Response:
    """What one of them lets be seen."""
    values = {
        "group_id": group,
        "group": one_group(context, caller, group),
        "one": service.household(context, caller, group, household),
    }
    return shown(request, "household.html", values)
