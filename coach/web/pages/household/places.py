"""`/home` and `/more`: the ways to everything that has no place of its own in the bar."""

from typing import Annotated

from fastapi import APIRouter, Form, Request, Response

from coach.coaching.consent import asked_again
from coach.ground.pages import PAGES
from coach.household import places as service
from coach.web.deps import CallerDep, ContextDep, HouseholdDep
from coach.web.pages.ways import see, words
from coach.web.rendering import page

router = APIRouter()

ADDRESSES = {"week": "/week", "areas": "/areas", "dinner": "/dinner", "desk": "/desk"}


@router.get("/home")
def home(request: Request, context: ContextDep, household: HouseholdDep) -> Response:
    """The pages of the home plan that are open."""
    found = service.places(context, household)
    return page(request, "household/home.html", {"places": found}, places=found.open)


@router.get("/more")
def more(
    request: Request,
    context: ContextDep,
    household: HouseholdDep,
    caller: CallerDep,
    said: str | None = None,
) -> Response:
    """Away, settings, data, people, and the pages that come later and can be opened early."""
    found = service.places(context, household)
    later = [name for name in PAGES if name not in found.open]
    values = {"places": found, "later": later, "said": words(said), "caller": caller}
    values |= {"is_hosted": context.is_hosted, "asked": asked_again(context, household)}
    return page(request, "household/more.html", values, places=found.open)


@router.post("/more/open")
def open_early(context: ContextDep, household: HouseholdDep, name: Annotated[str, Form()]) -> Response:
    """Open a page before the step that introduces it comes."""
    service.open_early(context, household, name)
    return see(ADDRESSES[name])
