"""`/away`: times away, and the way back from them."""

from datetime import date
from typing import Annotated

from fastapi import APIRouter, Form, Request, Response

from coach.errors import Malformed, NotEditable
from coach.habits import pauses
from coach.habits.day import day_view
from coach.web.dates import IsoDate
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.pages.ways import see, words
from coach.web.showing import show

router = APIRouter(prefix="/away")

Chosen = Annotated[IsoDate | None, Form()]


def _page(
    request: Request,
    context: ContextDep,
    household: str,
    filled: tuple[date | None, date | None] = (None, None),
    said: str | None = None,
    trouble: str | None = None,
) -> Response:
    words = {"filled": filled, "said": said, "trouble": trouble}
    status = 422 if trouble else 200
    return show(
        request,
        context,
        household,
        lambda where: ("habits/away.html", {"day": day_view(where), **words}),
        status,
    )


@router.get("")
def ask(request: Request, context: ContextDep, household: HouseholdDep, said: str | None = None) -> Response:
    """What is planned, and the form for more."""
    return _page(request, context, household, said=words(said))


@router.post("")
def go(
    request: Request, context: ContextDep, household: HouseholdDep, since: Chosen = None, until: Chosen = None
) -> Response:
    """Be away from a date until a date or open end."""
    try:
        pauses.pause(context, household, since, until)
    except (Malformed, NotEditable) as error:
        return _page(request, context, household, (since, until), trouble=str(error))
    return see("/away", "away")


@router.post("/back")
def back(context: ContextDep, household: HouseholdDep) -> Response:
    """Be back."""
    pauses.resume(context, household)
    return see("/today", "back")


@router.post("/call-off")
def call_off(context: ContextDep, household: HouseholdDep, since: Annotated[IsoDate, Form()]) -> Response:
    """Take a pause back that has not begun."""
    pauses.call_off(context, household, since)
    return see("/away", "called-off")
