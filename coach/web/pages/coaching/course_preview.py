"""`/groups/{group}/preview`: every lesson on a page as wide as a phone, with the day it comes."""

from typing import Annotated

from fastapi import APIRouter, Query, Request, Response

from coach.coaching.group_course import previewed
from coach.coaching.groups import one_group
from coach.coaching.preview import RATES, rate_of
from coach.ground.prose import render
from coach.web.deps import CallerDep, ContextDep
from coach.web.pages.coaching.shown import GroupId, shown

router = APIRouter(prefix="/groups/{group}/preview")


@router.get("")
def look(
    request: Request,
    context: ContextDep,
    caller: CallerDep,
    group: GroupId,
    kept: Annotated[str, Query(max_length=8)] = "1.0",
    version: Annotated[str, Query(max_length=64)] = "",
) -> Response:
    """The lessons in the order in which they come, at a share of lines that is kept."""
    found = previewed(context, caller, group, rate_of(kept), version)
    values = {
        "group_id": group,
        "group": one_group(context, caller, group),
        "preview": found,
        "rates": RATES,
        "version": version,
        "html": {one: render(one.markdown) for one in found.came},
    }
    return shown(request, "course_preview.html", values)
