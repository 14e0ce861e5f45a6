"""Pages that notice: requests that are held, without a thread, until something is written or time is up."""

from __future__ import annotations

import asyncio
from collections import defaultdict
from typing import TYPE_CHECKING

from coach.limits import HELD_SECONDS, HELD_WAITS
from coach.web.callers import caller_of
from coach.web.security import SAFE_METHODS

if TYPE_CHECKING:
    from collections.abc import Callable, Coroutine

    from starlette.types import ASGIApp, Receive, Scope, Send

    Gone = Callable[[], Coroutine[None, None, None]]
    IsNew = Callable[[], Coroutine[None, None, bool]]


class Changes:
    """Whoever waits for something to be written in a household; each wait belongs to the loop it began in.

    Args:
        most: How many may wait at once; one more is answered without waiting.
        seconds: How long each waits.
    """

    def __init__(self, most: int = HELD_WAITS, seconds: float = HELD_SECONDS) -> None:
        self.seconds = seconds
        self._most = most
        self._waiting: defaultdict[str, set[_Wait]] = defaultdict(set)
        self._ended = False

    async def wait(self, household: str, gone: Gone, is_new: IsNew | None = None) -> None:
        """Wait until something of a household was written here, whoever asks is `gone`, or time is up.

        Whether there is something new already is looked at once the wait has begun, so that what is written
        between the look and the wait is not slept through.
        """
        if self._ended or sum(map(len, self._waiting.values())) >= self._most:
            return
        wait = asyncio.get_running_loop(), asyncio.Event()
        self._waiting[household].add(wait)
        try:
            if is_new is None or not await is_new():
                await self._held(wait[1], gone)
        finally:
            self._waiting[household].discard(wait)
            if not self._waiting[household]:
                del self._waiting[household]

    async def _held(self, event: asyncio.Event, gone: Gone) -> None:
        waited = [asyncio.create_task(_set(event)), asyncio.create_task(gone())]
        try:
            await asyncio.wait(waited, timeout=self.seconds, return_when=asyncio.FIRST_COMPLETED)
        finally:
            for one in waited:
                one.cancel()

    def tell(self, household: str) -> None:
        """Let those go on who wait for a household."""
        for loop, event in tuple(self._waiting.get(household, ())):
            loop.call_soon_threadsafe(event.set)

    def end(self) -> None:
        """Let nobody wait any longer."""
        self._ended = True
        for household in tuple(self._waiting):
            self.tell(household)


async def _set(event: asyncio.Event) -> None:
    await event.wait()


_Wait = tuple[asyncio.AbstractEventLoop, asyncio.Event]


class Telling:
    """ASGI middleware that tells those who wait of a household once a request of it may have written.

    Args:
        app: What answers.
        changes: Who waits.
    """

    def __init__(self, app: ASGIApp, changes: Changes) -> None:
        self.app = app
        self._changes = changes

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass the request on; what it wrote stands in the database by the time it was answered."""
        try:
            await self.app(scope, receive, send)
        finally:
            if scope["type"] == "http" and scope["method"] not in SAFE_METHODS:
                self._changes.tell(caller_of(scope).household)
