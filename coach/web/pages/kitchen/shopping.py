"""`/shopping`: what the coming dinners need, to be ticked at home and in the shop."""

from typing import Annotated, Literal

from fastapi import APIRouter, Form, Query, Request, Response

from coach.kitchen import shopping as service
from coach.kitchen.answers import Shopping
from coach.kitchen.shopping import MOST_DAYS, USUAL_DAYS
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.pages.ways import see
from coach.web.rendering import is_partial, page
from coach.web.showing import show

router = APIRouter()

Days = Annotated[int, Query(ge=1, le=MOST_DAYS)]
PLAIN = "text/plain; charset=utf-8"
CHOICES = (3, 7, 14)


def _values(found: Shopping) -> dict[str, object]:
    return {"shopping": found, "choices": CHOICES, "said": None}


@router.get("/shopping")
def shopping(
    request: Request, context: ContextDep, household: HouseholdDep, days: Days = USUAL_DAYS
) -> Response:
    """The list of the coming days."""
    return show(
        request,
        context,
        household,
        lambda where: ("kitchen/shopping.html", _values(service.shopping_in(where, days))),
    )


@router.get("/shopping.txt")
def as_text(context: ContextDep, household: HouseholdDep, days: Days = USUAL_DAYS) -> Response:
    """What is to be bought, as plain text to be shared."""
    return Response(service.shopping(context, household, days).text, media_type=PLAIN)


@router.post("/shopping")
def tick(
    request: Request,
    context: ContextDep,
    household: HouseholdDep,
    key: Annotated[str, Form(max_length=300)],
    tick: Annotated[Literal["at-home", "in-basket", "none"], Form()],
    days: Annotated[int, Form(ge=1, le=MOST_DAYS)] = USUAL_DAYS,
) -> Response:
    """One tap: at home, in the basket, or back on the list."""
    found = service.tick(context, household, key, None if tick == "none" else tick, days)
    if is_partial(request):
        return page(request, "kitchen/parts/shopping_list.html", _values(found))
    return see(f"/shopping?days={days}" if days != USUAL_DAYS else "/shopping")
