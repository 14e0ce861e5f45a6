"""`/cards`: the list of each part of the day on a card of its own, as it will print."""

from typing import Annotated, Literal

from fastapi import APIRouter, Query, Request, Response

from coach.ground.situation import Situation
from coach.paper.cards import cards_in
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.showing import View, show

router = APIRouter(prefix="/cards")

Number = Annotated[Literal["2", "4"], Query()]


@router.get("")
def cards(request: Request, context: ContextDep, household: HouseholdDep, per_page: Number = "4") -> Response:
    """The day cards of the present list, two or four to a page."""

    def view(where: Situation) -> View:
        return "paper/cards.html", {"found": cards_in(where, 2 if per_page == "2" else 4)}

    return show(request, context, household, view)
