"""`/healthz`: whether the service can reach its database."""

from typing import Literal

from fastapi import APIRouter
from pydantic import BaseModel

from coach.web.api.answers import problems
from coach.web.deps import ContextDep, HouseholdDep

router = APIRouter(tags=["health"])


class Health(BaseModel):
    """The service works."""

    status: Literal["ok"] = "ok"


@router.get("/healthz", responses=problems("host", "failure"))
def health(context: ContextDep, household: HouseholdDep) -> Health:
    """Make one read by primary key."""
    context.store.version(household)
    return Health()
