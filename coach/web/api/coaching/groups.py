"""`/api/groups`: a coach's groups, and the households of one as far as they let themselves be seen."""

from typing import Annotated

from fastapi import APIRouter, Query, Response
from pydantic import TypeAdapter

from coach.coaching import groups as service
from coach.coaching import households as seen
from coach.coaching.answers import GroupLine, Groups, Households, HouseholdView
from coach.web.api.answers import problems, written
from coach.web.api.coaching.bodies import GroupBody, GroupChangeBody, GroupId, HouseholdId
from coach.web.api.fields import IN_DIGITS
from coach.web.api.strictness import StrictRoute
from coach.web.deps import CallerDep, ContextDep

router = APIRouter(prefix="/groups", tags=["groups"], route_class=StrictRoute)

GROUPS = TypeAdapter(Groups)
GROUP = TypeAdapter(GroupLine)
HOUSEHOLDS = TypeAdapter(Households)
HOUSEHOLD = TypeAdapter(HouseholdView)
ERRORS = problems("unknown")
First = Annotated[
    int, Query(ge=0, le=1_000_000, description="How many of those by name are passed over."), IN_DIGITS
]


@router.get("", response_model=Groups, responses=ERRORS)
def look(context: ContextDep, caller: CallerDep) -> Response:
    """A coach's groups, in the order in which they were made."""
    return written(GROUPS, service.groups(context, caller))


@router.post("", status_code=201, response_model=GroupLine, responses=ERRORS)
def make(context: ContextDep, caller: CallerDep, body: GroupBody) -> Response:
    """Make a group; households come into it by its invitations."""
    wanted = service.Wanted(body.name, body.course, body.first_day, body.language)
    return written(GROUP, service.new_group(context, caller, wanted), 201)


@router.get("/{group}", response_model=GroupLine, responses=ERRORS)
def one(context: ContextDep, caller: CallerDep, group: GroupId) -> Response:
    """One group of the coach who asks."""
    return written(GROUP, service.one_group(context, caller, group))


@router.patch("/{group}", response_model=GroupLine, responses=ERRORS)
def rename(context: ContextDep, caller: CallerDep, group: GroupId, body: GroupChangeBody) -> Response:
    """Call it something else."""
    return written(GROUP, service.rename(context, caller, group, body.name))


@router.get("/{group}/households", response_model=Households, responses=ERRORS)
def households(context: ContextDep, caller: CallerDep, group: GroupId, first: First = 0) -> Response:
    """How many came and are counted; who shares by name, and who of them may want a word."""
    return written(HOUSEHOLDS, seen.households(context, caller, group, first))


@router.get("/{group}/households/{household}", response_model=HouseholdView, responses=ERRORS)
def household(context: ContextDep, caller: CallerDep, group: GroupId, household: HouseholdId) -> Response:
    """What one that shares by name lets be seen, and nothing else."""
    return written(HOUSEHOLD, seen.household(context, caller, group, household))
