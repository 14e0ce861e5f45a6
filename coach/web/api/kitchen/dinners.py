"""`/api/dinners`: what there is for dinner, and what has to leave the freezer for it."""

from typing import Annotated

from fastapi import APIRouter, Path, Query, Response
from pydantic import TypeAdapter

from coach.kitchen import dinners as service
from coach.kitchen import planning
from coach.kitchen.answers import DinnerDay, DinnerWeek
from coach.kitchen.dishes import MOST_FROZEN
from coach.web.api.answers import problems, written
from coach.web.api.fields import IN_DIGITS, On
from coach.web.api.kitchen.bodies import DinnerBody, FavouriteBody, LeftBody
from coach.web.api.strictness import StrictRoute
from coach.web.deps import ContextDep, HouseholdDep

router = APIRouter(prefix="/dinners", tags=["dinner"], route_class=StrictRoute)

DAY = TypeAdapter(DinnerDay)
WEEK = TypeAdapter(DinnerWeek)
ERRORS = problems("not-started", "unknown", "not-editable")

Asked = Annotated[
    str | None,
    Query(description="A week's name; without it, the current week.", examples=["2027-W05"], max_length=20),
]
Number = Annotated[int, Path(ge=1, le=MOST_FROZEN, description="The item's `number`."), IN_DIGITS]


@router.get("", response_model=DinnerWeek, responses=problems("not-started", "unknown"))
def week(context: ContextDep, household: HouseholdDep, week: Asked = None) -> Response:
    """A week's dinners, with what has to leave the freezer today and tomorrow."""
    return written(WEEK, planning.week(context, household, week))


@router.get("/{date}", response_model=DinnerDay, responses=problems("not-started"))
def day(context: ContextDep, household: HouseholdDep, date: On) -> Response:
    """A date's dinner, or null."""
    return written(DAY, service.day(context, household, date))


@router.put("/{date}", response_model=DinnerDay, responses=ERRORS)
def put(context: ContextDep, household: HouseholdDep, date: On, body: DinnerBody | FavouriteBody) -> Response:
    """Plan a date's dinner, or put a favourite on it; from today on, for a year ahead."""
    if isinstance(body, FavouriteBody):
        found = service.put_favourite(context, household, date, body.favourite, body.time)
    else:
        found = service.put(context, household, date, body.dinner())
    return written(DAY, found)


@router.delete("/{date}", response_model=DinnerDay, responses=ERRORS)
def remove(context: ContextDep, household: HouseholdDep, date: On) -> Response:
    """Plan no dinner for a date, if one is planned."""
    return written(DAY, service.remove(context, household, date))


@router.put("/{date}/frozen/{number}", response_model=DinnerDay, responses=ERRORS)
def leave(context: ContextDep, household: HouseholdDep, date: On, number: Number, body: LeftBody) -> Response:
    """Say that a frozen item has left the freezer, or that it has not."""
    return written(DAY, service.leave(context, household, date, number, left=body.left))
