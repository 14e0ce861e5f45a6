"""Who asks, as the door has found it out."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.ground.people import KEEPER, Caller

if TYPE_CHECKING:
    from starlette.types import Scope

HOUSEHOLD = "home"
"""The household of a service that has only one."""

ALONE = Caller(HOUSEHOLD, KEEPER)
"""Whoever asks a service that listens to its own machine alone."""

_STATE = "caller"


def caller_of(scope: Scope) -> Caller:
    """Who asks; nobody where the request did not come through the door."""
    found: Caller | None = scope.get("state", {}).get(_STATE)
    return Caller(HOUSEHOLD) if found is None else found


def put_caller(scope: Scope, caller: Caller) -> None:
    """Write down who asks."""
    scope.setdefault("state", {})[_STATE] = caller
