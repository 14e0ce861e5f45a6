"""`/groups/{group}/course/pace`: how strict a course's rules are, and what others would cost."""

from typing import Annotated

from fastapi import APIRouter, Depends, Query, Request, Response

from coach.coaching.groups import one_group
from coach.coaching.strictness import MOST_SHOWN, Wish, ruled, strictness
from coach.errors import Malformed
from coach.web.deps import CallerDep, ContextDep
from coach.web.pages.coaching.bands import scales
from coach.web.pages.coaching.shown import NOTHING, GroupId, Happened, shown

router = APIRouter(prefix="/groups/{group}/course/pace")


async def wish_of(
    rules: str = "", pace: str = "", version: Annotated[str, Query(max_length=64)] = ""
) -> Wish:
    """What is asked for, as it was typed; what is wrong with it is said beside the form."""
    return Wish(rules, pace, version)


@router.get("")
def look(
    request: Request,
    context: ContextDep,
    caller: CallerDep,
    group: GroupId,
    wish: Annotated[Wish, Depends(wish_of)],
) -> Response:
    """What each of some rules costs, drawn beside each other and as tables."""
    values = {"group_id": group, "group": one_group(context, caller, group), "wish": wish, "most": MOST_SHOWN}
    try:
        found = strictness(context, caller, group, wish)
    except Malformed as error:
        course = ruled(context, caller, group, wish.version, wish.pace)
        return shown(
            request, "strictness.html", {**values, "course": course, "found": None}, Happened(error=error)
        )
    ticks, bands = scales(found.rules)
    drawn = {"found": found, "course": found.course, "scales": ticks, "bands": bands}
    return shown(request, "strictness.html", {**values, **drawn}, NOTHING)
