"""`/catalogue`: steps a household can add."""

from typing import Annotated

from fastapi import APIRouter, Path, Query, Request, Response

from coach.errors import NotEditable, Unknown
from coach.ground.ports import Context
from coach.habits import path, steps
from coach.habits.catalogue import Catalogue, searched_beside, searched_in
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.pages.ways import see
from coach.web.rendering import page
from coach.web.showing import View, show

router = APIRouter(prefix="/catalogue")


Asked = Annotated[str, Query(max_length=100)]


@router.get("")
def catalogue(request: Request, context: ContextDep, household: HouseholdDep, q: Asked = "") -> Response:
    """All of them by groups, each with its why, or those that speak of what was asked for."""
    if context.store.version(household) is None:
        return page(request, *_view(searched_beside(context, (), q)))
    return show(request, context, household, lambda where: _view(searched_in(where, q)))


def _view(found: Catalogue) -> View:
    return "habits/catalogue.html", {"catalogue": found}


@router.post("/{step}")
def add(context: ContextDep, household: HouseholdDep, step: Annotated[str, Path(max_length=100)]) -> Response:
    """Add one; who taps a second time, or after somebody else, finds it added."""
    try:
        steps.add_from_catalogue(context, household, step)
    except NotEditable:
        if not _is_added(context, household, step):
            raise
    return see(f"/steps/{step}", "added")


def _is_added(context: Context, household: str, step: str) -> bool:
    try:
        path.step(context, household, step)
    except Unknown:
        return False
    return True
