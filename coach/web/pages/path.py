"""`/path`: the progression graph as a picture and as a list."""

from fastapi import APIRouter, Request, Response

from coach.services import path as service
from coach.services.picture import picture_of
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.pages.ways import words
from coach.web.rendering import page

router = APIRouter()


@router.get("/path")
def path(request: Request, context: ContextDep, household: HouseholdDep, said: str | None = None) -> Response:
    """Where every step stands and what it waits for; before the start, the course as it is."""
    found = service.path(context, household)
    values = {"path": found, "picture": picture_of(found), "steps": {step.step: step for step in found.steps}}
    return page(request, "path.html", {**values, "said": words(said)})
