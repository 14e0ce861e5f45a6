"""What endpoints are given: the services' context, the household, and the keeper of the database file."""

from pathlib import Path
from typing import Annotated, Protocol

from fastapi import Depends, Request

from coach.services.ports import Context

HOUSEHOLD = "home"


class Keeper(Protocol):
    """Copies of the whole database, where it is a file."""

    def backup(self, to: Path) -> None:
        """Write a complete copy to a new file."""

    def restore(self, source: Path) -> None:
        """Replace the database by a copy; StoreError, with nothing changed, if it is none."""


async def context(request: Request) -> Context:
    """The services' context, as the application wired it."""
    wired: Context = request.app.state.context
    return wired


async def household() -> str:
    """The key of the household that asks; embedded use is one household."""
    return HOUSEHOLD


async def keeper(request: Request) -> Keeper | None:
    """The keeper of the database file; none for a database server, which has its own tools."""
    wired: Keeper | None = request.app.state.keeper
    return wired


# Asynchronous, all of them: a synchronous dependency costs a hop to a thread of its own.
ContextDep = Annotated[Context, Depends(context)]
HouseholdDep = Annotated[str, Depends(household)]
KeeperDep = Annotated["Keeper | None", Depends(keeper)]
