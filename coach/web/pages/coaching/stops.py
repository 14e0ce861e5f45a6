"""`/groups/{group}/stops`: where people stop, step by step, and how the weeks went."""

from itertools import combinations
from typing import Annotated

from fastapi import APIRouter, Query, Request, Response

from coach.coaching import stopping as service
from coach.coaching.comparing import Sides, compare, paces
from coach.coaching.groups import coach_day, groups
from coach.coaching.week_rows import weeks
from coach.errors import Malformed
from coach.ground.people import Caller
from coach.ground.ports import Context
from coach.progress.days import ONE_DAY
from coach.web.deps import CallerDep, ContextDep
from coach.web.pages.coaching.curves import curves
from coach.web.pages.coaching.shown import NOTHING, GroupId, Happened, shown

router = APIRouter(prefix="/groups/{group}")

SomeText = Annotated[str, Query(max_length=100)]


@router.get("/stops")
def look(
    request: Request, context: ContextDep, caller: CallerDep, group: GroupId, version: SomeText = ""
) -> Response:
    """The steps in the order of the course, then the weeks."""
    found = service.stopping(context, caller, group, version)
    values = {
        "group_id": group,
        "stops": found,
        "fresh": coach_day(context) - found.as_of == ONE_DAY,
        "curves": {step.step: curves(step) for step in found.steps},
        "weeks": weeks(context, caller, group),
        **_sides(context, caller, group),
    }
    return shown(request, "stops.html", values)


@router.get("/compare")
def hold_against(
    request: Request,
    context: ContextDep,
    caller: CallerDep,
    group: GroupId,
    step: SomeText = "",
    with_what: SomeText = "",
) -> Response:
    """One comparison: two paces, this group with another, or two versions of its course."""
    found, happened = None, NOTHING
    if step or with_what:
        try:
            found = compare(context, caller, group, step, _asked(with_what))
        except Malformed as error:
            happened = Happened(error=error)
    stops = service.stopping(context, caller, group)
    values = {
        "group_id": group,
        "stops": stops,
        "found": found,
        "step": step,
        "with_what": with_what,
        **_sides(context, caller, group),
    }
    return shown(request, "compare.html", values, happened)


def _asked(with_what: str) -> Sides:
    """What a choice of the form stands for: `group:ID`, `paces:ONE:OTHER` or `versions:ONE:OTHER`."""
    kind, _, rest = with_what.partition(":")
    if kind == "paces":
        return Sides((), "", tuple(rest.split(":")))
    if kind == "versions":
        return Sides(tuple(rest.split(":")), "")
    return Sides((), rest)


def _sides(context: Context, caller: Caller, group: str) -> dict[str, object]:
    """A group, and what it can be compared with."""
    every = {one.group: one for one in groups(context, caller).groups}
    return {
        "group": every.pop(group),
        "others": [*every.values()],
        "paces": list(combinations(paces(context, caller, group), 2)),
    }
