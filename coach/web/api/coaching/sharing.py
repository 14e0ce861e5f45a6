"""`/api/sharing`: what the coach of the household's group may see of it."""

import datetime as dt

from fastapi import APIRouter, Response
from pydantic import Field, TypeAdapter

from coach.coaching import consent
from coach.coaching.sharing_answers import Sharing, SharingLevel
from coach.web.api.answers import problems, written
from coach.web.api.fields import Body
from coach.web.api.strictness import StrictRoute
from coach.web.deps import ContextDep, HouseholdDep

router = APIRouter(prefix="/sharing", tags=["sharing"], route_class=StrictRoute)

SHARING = TypeAdapter(Sharing)


class SharingBody(Body):
    """What the coach may see from now on."""

    level: SharingLevel = Field(description="`nothing`, `counted` or `by name`.", examples=["counted"])
    until: dt.date | None = Field(
        None,
        description="The last date on which it holds; none: half a year from today, which is the longest.",
    )


@router.get("", response_model=Sharing, responses=problems("not-started"))
def sharing(context: ContextDep, household: HouseholdDep) -> Response:
    """What is shared, and what each level would show of this very household."""
    return written(SHARING, consent.sharing(context, household))


@router.put("", response_model=Sharing, responses=problems("not-started", "not-editable", "not-allowed"))
def choose(context: ContextDep, household: HouseholdDep, body: SharingBody) -> Response:
    """Let the coach see so much until a date; only a keeper chooses, and the coach is not told."""
    return written(SHARING, consent.choose(context, household, body.level, body.until))


@router.delete("", response_model=Sharing, responses=problems("not-started", "not-editable", "not-allowed"))
def leave(context: ContextDep, household: HouseholdDep) -> Response:
    """Go out of the group and live on here; only a keeper does."""
    return written(SHARING, consent.leave_group(context, household))
