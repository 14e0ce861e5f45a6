"""`/problems/{name}`: what a kind of problem means; the `type` of problem+json leads here."""

from fastapi import APIRouter, Request, Response

from coach.errors import Unknown
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.navigation import open_places
from coach.web.problem_kinds import KINDS
from coach.web.problems import problem
from coach.web.rendering import page

router = APIRouter(prefix="/problems")


@router.get("/{name}")
def explain(request: Request, context: ContextDep, household: HouseholdDep, name: str) -> Response:
    """One kind of problem."""
    if name not in KINDS:
        raise Unknown("There is no such kind of problem.")
    places = open_places(context, household)
    return page(request, "kind.html", {"problem": problem(name)}, places=places)
