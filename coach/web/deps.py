"""What endpoints are given: what use cases work with, who asks, the household, copies, uploads."""

from dataclasses import replace
from typing import Annotated

from fastapi import Depends, Request

from coach.ground.people import Caller
from coach.ground.ports import Context, Copies
from coach.messages.carriers import Carrier
from coach.web.callers import caller_of
from coach.web.held import Held


async def caller(request: Request) -> Caller:
    """Who asks."""
    return caller_of(request.scope)


async def context(request: Request) -> Context:
    """The use cases' context, as the application wired it, with who asks."""
    wired: Context = request.app.state.context
    by = caller_of(request.scope).person
    return replace(wired, by=by) if by else wired


async def household(request: Request) -> str:
    """The key of the household that asks."""
    return caller_of(request.scope).household


async def keeper(request: Request) -> Copies | None:
    """The copies of the database file; none for a database server, which has its own tools."""
    wired: Copies | None = request.app.state.context.copies
    return wired


async def held(request: Request) -> Held:
    """The uploads that wait for a tap."""
    wired: Held = request.app.state.held
    return wired


async def carrier(request: Request) -> Carrier:
    """What carries messages, as the application wired it."""
    wired: Carrier = request.app.state.carrier
    return wired


# Asynchronous, all of them: a synchronous dependency costs a hop to a thread of its own.
CallerDep = Annotated[Caller, Depends(caller)]
ContextDep = Annotated[Context, Depends(context)]
HouseholdDep = Annotated[str, Depends(household)]
KeeperDep = Annotated["Copies | None", Depends(keeper)]
HeldDep = Annotated[Held, Depends(held)]
CarrierDep = Annotated[Carrier, Depends(carrier)]
