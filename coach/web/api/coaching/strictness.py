"""`/api/groups/{group}/pace`: what stricter or easier rules would cost a group."""

from typing import Annotated

from fastapi import APIRouter, Depends, Query, Response
from pydantic import TypeAdapter

from coach.coaching.strictness import MOST_SHOWN, Wish, strictness
from coach.coaching.strictness_answers import Strictness
from coach.web.api.answers import problems, written
from coach.web.api.coaching.bodies import GroupId
from coach.web.api.coaching.courses import Version
from coach.web.api.strictness import StrictRoute
from coach.web.deps import CallerDep, ContextDep

router = APIRouter(prefix="/groups/{group}", tags=["groups"], route_class=StrictRoute)

STRICTNESS = TypeAdapter(Strictness)

Rules = Annotated[
    str,
    Query(
        description=f"Up to {MOST_SHOWN} rules, such as `2of3,3of4`; without it the course's own and some "
        "around it."
    ),
]
Pace = Annotated[str, Query(description="A pace of the course; without it the standard one.")]


async def wish_of(rules: Rules = "", pace: Pace = "", version: Version = "") -> Wish:
    """What is asked for."""
    return Wish(rules, pace, version)


@router.get("/pace", response_model=Strictness, responses=problems("unpaired", "unknown"))
def rules_compared(
    context: ContextDep, caller: CallerDep, group: GroupId, wish: Annotated[Wish, Depends(wish_of)]
) -> Response:
    """What rules cost beside each other: days to finish, what settles by luck, who lapses."""
    return written(STRICTNESS, strictness(context, caller, group, wish))
