"""The line in which requests that change something wait, so that those that only read find a thread."""

from __future__ import annotations

import asyncio
from collections import deque
from typing import TYPE_CHECKING
from weakref import WeakKeyDictionary

from starlette.datastructures import Headers
from starlette.exceptions import HTTPException
from starlette.requests import Request

from coach.limits import IN_LINE, LINE_SECONDS, WRITERS
from coach.web import problems
from coach.web.security import SAFE_METHODS

if TYPE_CHECKING:
    from starlette.types import ASGIApp, Message, Receive, Scope, Send


ASIDE = frozenset({"/reminders", "/reminders/test", "/api/reminder"})
"""What waits for other machines and writes for a moment only: in the line it would keep everybody waiting."""


class Line:
    """ASGI middleware that lets few requests change something at once, and the others wait in their order.

    A request joins when it is whole, so that one which is slow to arrive keeps nobody waiting, and makes room
    when its answer begins, so that one which is slow to be read does not either. It waits without a thread.

    Args:
        app: What answers.
        doors: Where it waits; if it may not, it is answered 503.
    """

    def __init__(self, app: ASGIApp, doors: Doors) -> None:
        self.app = app
        self._doors = doors

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass the request on, at its turn if it is one that changes something."""
        if scope["type"] != "http" or scope["method"] in SAFE_METHODS or scope["path"] in ASIDE:
            await self.app(scope, receive, send)
            return
        turn = Turn(self._doors.here())
        try:
            if not _has_body(scope):
                await turn.take()
            await self.app(scope, turn.taking_after(receive), turn.ending_before(send))
        except Full:
            answer = problems.answer(Request(scope), problems.problem("crowded"), problems.RETRY)
            await answer(scope, receive, send)
        except Gone:
            return
        finally:
            turn.end()


class Full(HTTPException):
    """Too many wait, or the turn did not come in time."""

    def __init__(self) -> None:
        super().__init__(503, headers=problems.RETRY)


class Gone(BaseException):
    """The client left before its request was whole. No Exception, so that nobody writes an answer to it."""


class Doors:
    """A door for each loop that serves the application: one, or in tests several.

    Args:
        at_once: How many are let in.
        most: How many may wait.
        seconds: How long each may wait.
    """

    def __init__(self, at_once: int = WRITERS, most: int = IN_LINE, seconds: float = LINE_SECONDS) -> None:
        self._bounds = (at_once, most, seconds)
        self._doors: WeakKeyDictionary[asyncio.AbstractEventLoop, Door] = WeakKeyDictionary()

    def here(self) -> Door:
        """The door of the running loop."""
        return self._doors.setdefault(asyncio.get_running_loop(), Door(*self._bounds))


class Door:
    """Lets a number in at once, the others in the order they came.

    Args:
        at_once: How many are let in.
        most: How many may wait.
        seconds: How long each may wait.
    """

    def __init__(self, at_once: int, most: int, seconds: float) -> None:
        self._free = at_once
        self._most = most
        self._seconds = seconds
        self._waiting: deque[asyncio.Future[None]] = deque()

    async def enter(self) -> None:
        """Wait to be let in; Full if too many wait already or it takes too long."""
        if self._free and not self._waiting:
            self._free -= 1
            return
        if len(self._waiting) >= self._most:
            raise Full
        place = asyncio.get_running_loop().create_future()
        self._waiting.append(place)
        try:
            async with asyncio.timeout(self._seconds):
                await place
        except TimeoutError:
            self._give_up(place)
            raise Full from None
        except asyncio.CancelledError:
            self._give_up(place)
            raise

    def leave(self) -> None:
        """Let the next one in."""
        while self._waiting:
            place = self._waiting.popleft()
            if not place.done():
                place.set_result(None)
                return
        self._free += 1

    def close(self) -> None:
        """Let nobody wait any longer."""
        self._most = 0
        while self._waiting:
            place = self._waiting.popleft()
            if not place.done():
                place.set_exception(Full())

    def _give_up(self, place: asyncio.Future[None]) -> None:
        if place.done() and not place.cancelled():
            # It was let in at the very moment at which it went.
            self.leave()
        elif place in self._waiting:
            self._waiting.remove(place)


class Turn:
    """One request's turn: taken once and given back once."""

    def __init__(self, door: Door) -> None:
        self._door = door
        self._taken = False
        self._ended = False

    async def take(self) -> None:
        """Wait for it, unless it was taken before."""
        if not (self._taken or self._ended):
            await self._door.enter()
            self._taken = True

    def end(self) -> None:
        """Give it back, unless that was done before."""
        if self._taken and not self._ended:
            self._door.leave()
        self._ended = True

    def taking_after(self, receive: Receive) -> Receive:
        """What hands the request over, its last part at its turn."""

        async def receive_in_turn() -> Message:
            message = await receive()
            if message["type"] == "http.disconnect" and not self._taken:
                raise Gone
            if message["type"] == "http.request" and not message.get("more_body", False):
                await self.take()
            return message

        return receive_in_turn

    def ending_before(self, send: Send) -> Send:
        """What takes the answer, and ends the turn with its beginning."""

        async def send_after_turn(message: Message) -> None:
            self.end()
            await send(message)

        return send_after_turn


def _has_body(scope: Scope) -> bool:
    headers = Headers(scope=scope)
    return "transfer-encoding" in headers or headers.get("content-length", "0") != "0"
