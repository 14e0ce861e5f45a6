"""`/sharing`: what the coach of the household's group may see of it, shown as the coach would see it."""

import datetime as dt
from typing import Annotated

from fastapi import APIRouter, Form, Request, Response

from coach.coaching import consent
from coach.coaching.wording import weeks_text
from coach.errors import Malformed, NotEditable, SteadingError
from coach.ground.people import Caller
from coach.ground.ports import Context
from coach.progress.days import iso_date
from coach.web.deps import CallerDep, ContextDep, HouseholdDep
from coach.web.navigation import open_places
from coach.web.pages.ways import see, words
from coach.web.problems import of_error
from coach.web.rendering import page

router = APIRouter(prefix="/sharing")


def _page(
    request: Request,
    context: Context,
    caller: Caller,
    said: str | None = None,
    error: SteadingError | None = None,
) -> Response:
    found = consent.sharing(context, caller.household)
    values = {
        "found": found,
        "weeks": weeks_text(found.counted.weeks) if found.counted else "",
        "levels": consent.LEVELS,
        "caller": caller,
        "said": words(said),
        "trouble": of_error(error).detail if error else None,
    }
    status = of_error(error).status if error else 200
    return page(
        request, "coaching/sharing.html", values, status, places=open_places(context, caller.household)
    )


@router.get("")
def sharing(request: Request, context: ContextDep, caller: CallerDep, said: str | None = None) -> Response:
    """The three levels, each with what the coach would see of this household."""
    return _page(request, context, caller, said)


@router.post("")
def choose(
    request: Request,
    context: ContextDep,
    caller: CallerDep,
    level: Annotated[str, Form()] = "",
    until: Annotated[str, Form()] = "",
) -> Response:
    """Let the coach see so much until a date."""
    try:
        consent.choose(context, caller.household, level, _date(until))
    except (Malformed, NotEditable) as error:
        return _page(request, context, caller, error=error)
    return see("/sharing", "shared")


@router.post("/leave")
def leave(context: ContextDep, household: HouseholdDep) -> Response:
    """Go out of the group and live on here."""
    consent.leave_group(context, household)
    return see("/sharing", "left-group")


def _date(text: str) -> dt.date | None:
    return iso_date(text.strip()) if text.strip() else None
