"""`/api/cards`: the list of each part of the day as it stands on its cards."""

from typing import Annotated, Literal

from fastapi import APIRouter, Query, Response
from pydantic import TypeAdapter

from coach.ground.situation import looking
from coach.paper.answers import Cards
from coach.paper.cards import cards_in
from coach.paper.choices import choices_in
from coach.web.api.answers import problems, written
from coach.web.api.strictness import StrictRoute
from coach.web.deps import ContextDep, HouseholdDep

router = APIRouter(tags=["paper"], route_class=StrictRoute)

CARDS = TypeAdapter(Cards)
Number = Annotated[Literal["2", "4"], Query(description="How many cards share a page.")]


@router.get("/cards", response_model=Cards, responses=problems("not-started"))
def cards(context: ContextDep, household: HouseholdDep, per_page: Number = "4") -> Response:
    """The day cards of the present list; a part of the day whose list is long has several."""
    with looking(context, household) as where:
        found = cards_in(where, 2 if per_page == "2" else 4, choices_in(where).paper)
    return written(CARDS, found)
