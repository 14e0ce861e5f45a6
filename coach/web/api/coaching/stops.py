"""`/api/groups/{group}/stops`, `weeks` and `compare`: where people stop, in numbers that tell no few."""

from typing import Annotated, Literal

from fastapi import APIRouter, Depends, Path, Query, Response
from pydantic import TypeAdapter

from coach.coaching import comparing, stopping, week_rows
from coach.coaching.stopping_answers import Comparison, Stopping, WeeksShown
from coach.coaching.stops_export import stops_csv
from coach.web.api.answers import problems, written
from coach.web.api.strictness import StrictRoute
from coach.web.deps import CallerDep, ContextDep

router = APIRouter(prefix="/groups/{group}", tags=["groups"], route_class=StrictRoute)

STOPS = TypeAdapter(Stopping)
WEEKS = TypeAdapter(WeeksShown)
COMPARISON = TypeAdapter(Comparison)

CSV_UTF8 = "text/csv; charset=utf-8"
ATTACHED = {"content-disposition": 'attachment; filename="where-people-stop.csv"'}

GroupId = Annotated[str, Path(description="The group's id, as in `/api/groups`.", max_length=100)]
Version = Annotated[
    str, Query(description="The digest of a version of the course; without it all together.", max_length=100)
]
Form = Annotated[
    Literal["json", "csv"],
    Query(description="`csv` is for a file: a line for each step, from ten households on."),
]
StepId = Annotated[str, Query(description="The step that is settled.", max_length=100)]
Versions = Annotated[
    list[str],
    Query(description="Two versions of the course, which are compared.", max_length=2),
]
Paces = Annotated[
    list[str],
    Query(description="Two paces at which the step was begun, which are compared.", max_length=2),
]
Other = Annotated[
    str, Query(description="Another group of the coach's, with which this one is compared.", max_length=100)
]


@router.get("/stops", response_model=Stopping, responses=problems("unpaired", "unknown"))
def stops(
    context: ContextDep,
    caller: CallerDep,
    group: GroupId,
    version: Version = "",
    format: Form = "json",  # noqa: A002  what other pages call it too
) -> Response:
    """Where people stop, step by step in the order of the course; a number that is hidden is null."""
    found = stopping.stopping(context, caller, group, version)
    if format == "csv":
        return Response(stops_csv(found), headers=ATTACHED, media_type=CSV_UTF8)
    return written(STOPS, found)


@router.get("/weeks", response_model=WeeksShown, responses=problems("unpaired", "unknown"))
def weeks(context: ContextDep, caller: CallerDep, group: GroupId) -> Response:
    """The households by the week of their start, with where they stood at the end of each week since."""
    return written(WEEKS, week_rows.weeks(context, caller, group))


async def sides_of(
    version: Versions = [],  # noqa: B006  FastAPI makes a new one for each request
    other: Other = "",
    pace: Paces = [],  # noqa: B006  the same
) -> comparing.Sides:
    """What is to be compared."""
    return comparing.Sides(tuple(version), other, tuple(pace))


@router.get("/compare", response_model=Comparison, responses=problems("unpaired", "unknown"))
def compare(
    context: ContextDep,
    caller: CallerDep,
    group: GroupId,
    step: StepId,
    sides: Annotated[comparing.Sides, Depends(sides_of)],
) -> Response:
    """One log-rank test of whether a step is settled sooner here than there; refused with too few."""
    return written(COMPARISON, comparing.compare(context, caller, group, step, sides))
