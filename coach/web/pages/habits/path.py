"""`/path`: the progression graph as a picture and as a list."""

from fastapi import APIRouter, Request, Response

from coach.habits import path as service
from coach.habits.path import picture_of
from coach.habits.path_answers import Path
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.pages.ways import words
from coach.web.rendering import page
from coach.web.showing import View, show

router = APIRouter()


@router.get("/path")
def path(request: Request, context: ContextDep, household: HouseholdDep, said: str | None = None) -> Response:
    """Where every step stands and what it waits for; before the start, the course as it is."""
    text = words(said)
    if context.store.version(household) is None:
        return page(request, *_view(service.path_ahead(context), text))
    return show(request, context, household, lambda where: _view(service.path_in(where), text))


def _view(found: Path, said: str | None) -> View:
    values = {"path": found, "picture": picture_of(found), "steps": {step.step: step for step in found.steps}}
    return "habits/path.html", {**values, "said": said}
