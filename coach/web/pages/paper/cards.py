"""`/cards`: the list of each part of the day on a card of its own, as it will print."""

from typing import Annotated, Literal

from fastapi import APIRouter, Query, Request, Response

from coach.ground.situation import Situation
from coach.paper.cards import cards as cards_of
from coach.paper.cards import cards_in
from coach.paper.choices import choices, choices_in
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.printing import Format, as_pdf
from coach.web.showing import View, show

router = APIRouter(prefix="/cards")

Number = Annotated[Literal["2", "4"], Query()]
INSTEAD = "Print two to a page, or give the longest line fewer words."


@router.get("")
def cards(
    request: Request,
    context: ContextDep,
    household: HouseholdDep,
    per_page: Number = "4",
    format: Format = None,  # noqa: A002  the name in the address
) -> Response:
    """The day cards of the present list, two or four to a page."""
    count: Literal[2, 4] = 2 if per_page == "2" else 4
    if format is not None:
        found = cards_of(context, household, count, choices(context, household).paper)
        return as_pdf("cards", found, "day-cards", INSTEAD)

    def view(where: Situation) -> View:
        return "paper/cards.html", {"found": cards_in(where, count, choices_in(where).paper)}

    return show(request, context, household, view)
