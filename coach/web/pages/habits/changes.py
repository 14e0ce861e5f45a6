"""`/today/changes`: what others have marked since a page was opened, asked for by the page itself."""

from typing import Annotated

from fastapi import APIRouter, Query, Request, Response
from starlette.concurrency import run_in_threadpool

from coach.ground.ports import Context
from coach.ground.situation import looking, started_home
from coach.habits.before import days_before_in
from coach.habits.parts import parts_view
from coach.web.dates import IsoDate
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.rendering import page
from coach.web.showing import View

router = APIRouter()

VERSION = "Steading-Version"
"""The header with the version that an answer shows."""

Seen = Annotated[int, Query(ge=0, le=2**53 - 1)]


@router.get("/today/changes", include_in_schema=False)
async def changes(
    request: Request,
    context: ContextDep,
    household: HouseholdDep,
    seen: Seen,
    on: Annotated[IsoDate | None, Query()] = None,
) -> Response:
    """The lines of a date, or without one those of the grid, at once if another version stands than was seen.

    Else it is held for some seconds. What another process writes is looked for once more at the end.
    """

    async def is_new() -> bool:
        return await run_in_threadpool(_version, context, household) != seen

    await request.app.state.changes.wait(household, lambda: _gone(request), is_new)
    now = await run_in_threadpool(_version, context, household)
    if now == seen:
        return Response(status_code=204, headers={VERSION: str(now)})
    name, values = await run_in_threadpool(_pieces, context, household, on)
    version = str(values["version"])
    return await run_in_threadpool(page, request, name, values, headers={VERSION: version})


def _version(context: Context, household: str) -> int:
    return started_home(context.store.version(household)).version


def _pieces(context: Context, household: str, on: IsoDate | None) -> View:
    with looking(context, household, on) as where:
        beside = {"version": where.home.version, "both": None}
        if on is None:
            return "habits/parts/grid_changes.html", {"grid": days_before_in(where), **beside}
        found = parts_view(where)
    # What stands around the list is left as it is, so there is none of it here.
    around: dict[str, object] = {"offers": {}, "jobs": {}, "held": {}, "around": None, "shown_tasks": 0}
    lines = {"day": found.day, "parts": found.parts, "several": found.several}
    return "habits/parts/changes.html", {**lines, **around, **beside}


async def _gone(request: Request) -> None:
    """End when the one who asks has left."""
    while (await request.receive())["type"] != "http.disconnect":
        pass
