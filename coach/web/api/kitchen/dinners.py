"""`/api/dinners`: what there is for dinner, and what has to leave the freezer for it."""

import datetime as dt
from dataclasses import dataclass
from typing import Annotated

from fastapi import APIRouter, Path, Query, Response
from pydantic import TypeAdapter

from coach.ground.ports import Context
from coach.kitchen import dinners as service
from coach.kitchen import planning
from coach.kitchen.answers import DinnerDay, DinnerWeek
from coach.kitchen.dishes import MOST_FROZEN
from coach.web.api.answers import problems, written
from coach.web.api.fields import IN_DIGITS, On
from coach.web.api.kitchen.bodies import DinnerBody, FavouriteBody, LeftBody
from coach.web.api.seen import IfMatch, matching, tagged
from coach.web.api.strictness import StrictRoute
from coach.web.deps import ContextDep, HouseholdDep

router = APIRouter(prefix="/dinners", tags=["dinner"], route_class=StrictRoute)

DAY = TypeAdapter(DinnerDay)
WEEK = TypeAdapter(DinnerWeek)


@dataclass(frozen=True, slots=True)
class Dinner:
    """What a PUT of a dinner replaces; when to thaw for it goes by the clock, and is none of it."""

    dish: str
    time: str
    cooking: int
    ingredients: tuple[str, ...]
    frozen: tuple[tuple[str, str, str], ...]


DINNER = TypeAdapter[Dinner | None](Dinner | None)
ERRORS = problems("not-started", "unknown", "not-editable")
CHANGE_ERRORS = problems("not-started", "unknown", "not-editable", "outdated")

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
    """A date's dinner, or null; its ETag is that of what is planned, whatever the clock says of thawing."""
    found = service.day(context, household, date)
    return tagged(DAY, found, DINNER.dump_json(_dinner(found)))


def _dinner(day: DinnerDay) -> Dinner | None:
    found = day.dinner
    if found is None:
        return None
    return Dinner(
        dish=found.dish,
        time=found.time,
        cooking=found.cooking,
        ingredients=found.ingredients,
        frozen=tuple((item.name, item.weight, item.kind) for item in found.frozen),
    )


def _seen(context: Context, if_match: str | None, on: dt.date) -> Context:
    return matching(context, if_match, DINNER, lambda where: _dinner(service.day_in(where, on)))


@router.put("/{date}", response_model=DinnerDay, responses=CHANGE_ERRORS)
def put(
    context: ContextDep,
    household: HouseholdDep,
    date: On,
    body: DinnerBody | FavouriteBody,
    if_match: IfMatch = None,
) -> Response:
    """Plan a date's dinner, or put a favourite on it; from today on, for a year ahead."""
    seen = _seen(context, if_match, date)
    if isinstance(body, FavouriteBody):
        found = service.put_favourite(seen, household, date, body.favourite, body.time)
    else:
        found = service.put(seen, household, date, body.dinner())
    return written(DAY, found)


@router.delete("/{date}", response_model=DinnerDay, responses=CHANGE_ERRORS)
def remove(context: ContextDep, household: HouseholdDep, date: On, if_match: IfMatch = None) -> Response:
    """Plan no dinner for a date, if one is planned."""
    return written(DAY, service.remove(_seen(context, if_match, date), household, date))


@router.put("/{date}/frozen/{number}", response_model=DinnerDay, responses=ERRORS)
def leave(context: ContextDep, household: HouseholdDep, date: On, number: Number, body: LeftBody) -> Response:
    """Say that a frozen item has left the freezer, or that it has not."""
    return written(DAY, service.leave(context, household, date, number, left=body.left))
