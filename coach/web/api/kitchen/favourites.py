"""`/api/favourites`: dishes that are kept, to be put on any date."""

from fastapi import APIRouter, Response
from pydantic import TypeAdapter

from coach.kitchen import favourites as service
from coach.kitchen.answers import Favourites
from coach.web.api.answers import problems, written
from coach.web.api.kitchen.bodies import DishBody, FavouriteId
from coach.web.api.strictness import StrictRoute
from coach.web.deps import ContextDep, HouseholdDep

router = APIRouter(prefix="/favourites", tags=["dinner"], route_class=StrictRoute)

FAVOURITES = TypeAdapter(Favourites)
ERRORS = problems("not-started", "unknown", "not-editable")


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


@router.put("/{favourite}", response_model=Favourites, responses=ERRORS)
def change(context: ContextDep, household: HouseholdDep, favourite: FavouriteId, body: DishBody) -> Response:
    """Change a dish that is kept; dinners that came from it stay as they are."""
    return written(FAVOURITES, service.keep(context, household, body.typed(), favourite)[1])


@router.delete("/{favourite}", response_model=Favourites, responses=ERRORS)
def drop(context: ContextDep, household: HouseholdDep, favourite: FavouriteId) -> Response:
    """Keep a dish no longer."""
    return written(FAVOURITES, service.drop(context, household, favourite))
