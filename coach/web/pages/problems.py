"""`/problems/{name}`: what a kind of problem means; the `type` of problem+json leads here."""

from fastapi import APIRouter, Request, Response

from coach.errors import Unknown
from coach.web.problems import KINDS, problem
from coach.web.rendering import page

router = APIRouter(prefix="/problems")


@router.get("/{name}")
def explain(request: Request, name: str) -> Response:
    """One kind of problem."""
    if name not in KINDS:
        raise Unknown("There is no such kind of problem.")
    return page(request, "kind.html", {"problem": problem(name)})
