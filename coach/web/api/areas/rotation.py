"""`/api/area-week` and `/api/rotation`: this week's area with its marks, and the weeks to come."""

from typing import Annotated

from fastapi import APIRouter, Path, Query, Response
from pydantic import TypeAdapter

from coach.areas import turns
from coach.areas import week as areas
from coach.areas.answers import AreaWeekView, RotationView
from coach.ground.ports import Context
from coach.web.api.answers import problems, written
from coach.web.api.areas.bodies import DeclutterBody, GiveBody, SkipBody, SwapBody
from coach.web.api.areas.overview import TaskId
from coach.web.api.fields import IN_DIGITS
from coach.web.api.seen import IfMatch, matching, tagged
from coach.web.api.strictness import StrictRoute
from coach.web.dates import IsoDate
from coach.web.deps import ContextDep, HouseholdDep

router = APIRouter(tags=["areas"], route_class=StrictRoute)

AREA_WEEK = TypeAdapter(AreaWeekView)
ROTATION = TypeAdapter(RotationView)

ERRORS = problems("not-started", "unknown")
CHANGE_ERRORS = problems("not-started", "unknown", "outdated")
MARK_ERRORS = problems("not-started", "unknown", "not-editable")
MOST_WEEKS = 520
Weeks = Annotated[int, Query(ge=1, le=MOST_WEEKS, description="How many weeks, from this one on."), IN_DIGITS]
On = Annotated[IsoDate, Path(description="Today or one of the 7 days before it.", examples=["2027-01-25"])]


@router.get("/area-week", response_model=AreaWeekView, responses=ERRORS)
def area_week(context: ContextDep, household: HouseholdDep) -> Response:
    """This week's area: its list, what comes if there is time, the day's short task, and what is done."""
    return written(AREA_WEEK, areas.this_week(context, household))


@router.put("/days/{date}/tasks/{task}", response_model=AreaWeekView, responses=MARK_ERRORS)
def put_mark(context: ContextDep, household: HouseholdDep, date: On, task: TaskId) -> Response:
    """Mark a task done on a date; the answer is this week's area as it now stands."""
    return written(AREA_WEEK, areas.mark_task(context, household, date, task))


@router.delete("/days/{date}/tasks/{task}", response_model=AreaWeekView, responses=MARK_ERRORS)
def delete_mark(context: ContextDep, household: HouseholdDep, date: On, task: TaskId) -> Response:
    """Take that back, if it is marked; the answer is this week's area as it now stands."""
    return written(AREA_WEEK, areas.unmark_task(context, household, date, task))


@router.get("/rotation", response_model=RotationView, responses=ERRORS)
def rotation(context: ContextDep, household: HouseholdDep, weeks: Weeks = turns.WEEKS_AHEAD) -> Response:
    """The weeks to come: whose turn it is, for how long, and why where that needs a word; with their ETag."""
    return tagged(ROTATION, turns.rotation(context, household, weeks))


def _seen(context: Context, if_match: str | None) -> Context:
    """The context for a change of the weeks that `GET /api/rotation` answered with."""
    return matching(context, if_match, ROTATION, turns.rotation_in)


@router.post("/rotation/skip", response_model=RotationView, responses=CHANGE_ERRORS)
def skip(context: ContextDep, household: HouseholdDep, body: SkipBody, if_match: IfMatch = None) -> Response:
    """Leave a week free; the rotation goes on after it."""
    return written(ROTATION, turns.skip(_seen(context, if_match), household, body.week))


@router.post("/rotation/swap", response_model=RotationView, responses=CHANGE_ERRORS)
def swap(context: ContextDep, household: HouseholdDep, body: SwapBody, if_match: IfMatch = None) -> Response:
    """Let two weeks change their turns."""
    return written(ROTATION, turns.swap(_seen(context, if_match), household, body.week, body.other))


@router.post("/rotation/give", response_model=RotationView, responses=CHANGE_ERRORS)
def give(context: ContextDep, household: HouseholdDep, body: GiveBody, if_match: IfMatch = None) -> Response:
    """By need, give this week to an area, whatever the others need."""
    return written(ROTATION, turns.give(_seen(context, if_match), household, body.area))


@router.post("/rotation/declutter", response_model=RotationView, responses=CHANGE_ERRORS)
def declutter(
    context: ContextDep,
    household: HouseholdDep,
    body: DeclutterBody | None = None,
    if_match: IfMatch = None,
) -> Response:
    """Let declutter lists take the place of the others from this week on, or end that."""
    asked = body or DeclutterBody()
    return written(ROTATION, turns.declutter(_seen(context, if_match), household, asked.weeks))
