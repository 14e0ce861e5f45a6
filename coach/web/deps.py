"""What endpoints are given: what use cases work with, the household, the database's copies, uploads."""

from typing import Annotated

from fastapi import Depends, Request

from coach.ground.ports import Context, Copies
from coach.web.held import Held

HOUSEHOLD = "home"


async def context(request: Request) -> Context:
    """The use cases' context, as the application wired it."""
    wired: Context = request.app.state.context
    return wired


async def household() -> str:
    """The key of the household that asks; embedded use is one household."""
    return HOUSEHOLD


async def keeper(request: Request) -> Copies | None:
    """The copies of the database file; none for a database server, which has its own tools."""
    wired: Copies | None = request.app.state.context.copies
    return wired


async def held(request: Request) -> Held:
    """The uploads that wait for a tap."""
    wired: Held = request.app.state.held
    return wired


# Asynchronous, all of them: a synchronous dependency costs a hop to a thread of its own.
ContextDep = Annotated[Context, Depends(context)]
HouseholdDep = Annotated[str, Depends(household)]
KeeperDep = Annotated["Copies | None", Depends(keeper)]
HeldDep = Annotated[Held, Depends(held)]
