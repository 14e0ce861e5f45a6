"""`/api/favourites`: dishes that are kept, to be put on any date."""

from fastapi import APIRouter, Response
from pydantic import TypeAdapter

from coach.ground.ports import Context
from coach.ground.situation import looking
from coach.kitchen import favourites as service
from coach.kitchen.answers import Favourite, Favourites
from coach.web.api.answers import problems, written
from coach.web.api.kitchen.bodies import DishBody, FavouriteId
from coach.web.api.seen import IfMatch, matching, tagged
from coach.web.api.strictness import StrictRoute
from coach.web.deps import ContextDep, HouseholdDep

router = APIRouter(prefix="/favourites", tags=["dinner"], route_class=StrictRoute)

FAVOURITES = TypeAdapter(Favourites)
FAVOURITE = TypeAdapter(Favourite)
ERRORS = problems("not-started", "unknown", "not-editable")
CHANGE_ERRORS = problems("not-started", "unknown", "not-editable", "outdated")


def _seen(context: Context, if_match: str | None, favourite: str) -> Context:
    return matching(context, if_match, FAVOURITE, lambda where: service.favourite_in(where, favourite))


@router.get("", response_model=Favourites, responses=problems("not-started"))
def favourites(context: ContextDep, household: HouseholdDep) -> Response:
    """All of them, by name."""
    return written(FAVOURITES, service.favourites(context, household))


@router.post("", status_code=201, response_model=Favourites, responses=ERRORS)
def keep(context: ContextDep, household: HouseholdDep, body: DishBody) -> Response:
    """Keep a dish; one of the same name takes the old one's place. `Location` says which it became."""
    kept, found = service.keep(context, household, body.typed())
    answer = written(FAVOURITES, found, 201)
    answer.headers["location"] = f"/api/favourites/{kept.id}"
    return answer


@router.get("/{favourite}", response_model=Favourite, responses=problems("not-started", "unknown"))
def one(context: ContextDep, household: HouseholdDep, favourite: FavouriteId) -> Response:
    """One of them, with the ETag that a change of it can carry."""
    with looking(context, household) as where:
        return tagged(FAVOURITE, service.favourite_in(where, favourite))


@router.put("/{favourite}", response_model=Favourites, responses=CHANGE_ERRORS)
def change(
    context: ContextDep,
    household: HouseholdDep,
    favourite: FavouriteId,
    body: DishBody,
    if_match: IfMatch = None,
) -> Response:
    """Change a dish that is kept; dinners that came from it stay as they are."""
    seen = _seen(context, if_match, favourite)
    return written(FAVOURITES, service.keep(seen, household, body.typed(), favourite)[1])


@router.delete("/{favourite}", response_model=Favourites, responses=CHANGE_ERRORS)
def drop(
    context: ContextDep, household: HouseholdDep, favourite: FavouriteId, if_match: IfMatch = None
) -> Response:
    """Keep a dish no longer."""
    return written(FAVOURITES, service.drop(_seen(context, if_match, favourite), household, favourite))
