"""Which households have written something since it was last asked, so that rounds know where to look."""

from __future__ import annotations

from threading import Lock
from typing import TYPE_CHECKING

from coach.web.callers import caller_of
from coach.web.security import SAFE_METHODS

if TYPE_CHECKING:
    from starlette.types import ASGIApp, Receive, Scope, Send


class Wrote:
    """Households by their keys; one process knows of those that wrote through it."""

    def __init__(self) -> None:
        self._lock = Lock()
        self._households: set[str] = set()

    def note(self, household: str) -> None:
        """One may have written something."""
        with self._lock:
            self._households.add(household)

    def taken(self) -> frozenset[str]:
        """All that were noted since this was asked before."""
        with self._lock:
            found, self._households = frozenset(self._households), set()
            return found


class Noting:
    """ASGI middleware that notes the household of a request that may have written, once it was answered.

    Args:
        app: What answers.
        wrote: Where it is noted.
    """

    def __init__(self, app: ASGIApp, wrote: Wrote) -> None:
        self.app = app
        self._wrote = wrote

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass the request on."""
        await self.app(scope, receive, send)
        if scope["type"] == "http" and scope["method"] not in SAFE_METHODS:
            self._wrote.note(caller_of(scope).household)
