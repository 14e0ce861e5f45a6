"""`/path/what-if`: the dates with one thing changed, beside the present ones."""

from fastapi import APIRouter, Request, Response

from coach.ground.situation import Situation
from coach.habits.forecast_answers import Span, WhatIf
from coach.habits.what_if import what_if_in
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.pages.habits.weeks_ahead import weeks_ahead, weeks_for
from coach.web.showing import Later, View, show

router = APIRouter()

ADDRESSES = {"settings": "/settings", "path": "/path", "step": "/steps/"}
"""How the address of a page begins on which a change can be chosen."""


@router.get("/path/what-if")
def what_if(request: Request, context: ContextDep, household: HouseholdDep) -> Response:
    """The present dates and those of each change, all on one scale."""
    return show(request, context, household, _view)


def _view(where: Situation) -> View:
    ask = what_if_in(where)
    return "habits/what_if.html", {"addresses": ADDRESSES, "later": Later(lambda: _drawn(ask()))}


def _drawn(found: WhatIf) -> dict[str, object]:
    spans: dict[str, Span] = {change.change: change.span for change in found.changes}
    spans["present"] = found.present
    weeks = weeks_for(spans.values(), found.on)
    lines = {name: weeks_ahead(span, found.on, weeks) for name, span in spans.items()}
    return {"found": found, "lines": lines}
