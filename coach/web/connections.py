"""One connection of the service: how long it is waited for, and which is closed when there are too many."""

from __future__ import annotations

import sys
from enum import Enum
from http import HTTPStatus
from typing import TYPE_CHECKING, Any

import h11
from uvicorn.protocols.http.h11_impl import H11Protocol

from coach.limits import (
    BODY_RATE,
    BODY_SECONDS,
    CONNECTIONS,
    HEADER_SECONDS,
    IDLE_SECONDS,
    INCOMPLETE,
    LINGER_SECONDS,
    RETRY_SECONDS,
    UNREAD_SECONDS,
)
from coach.machine.addresses import is_at_home
from coach.web.headers import HEADERS

if TYPE_CHECKING:
    import asyncio

SLOW = "The request did not arrive in time, so nothing was done with it. Send it again."
CROWD = "Too many are being answered now. Try again in a moment."
UNFIT = "This is not a request that can be read."
LONG = "The headers of the request are longer than this service takes."


class Wait(Enum):
    """What a connection is waited for.

    NEW has sent nothing, HEADERS a part of its headers, BODY all of them and a part of its body. LINGER has
    its answer and may still send, IDLE has its answer, UNREAD does not read it. NOTHING is being answered.
    """

    NEW = "new"
    HEADERS = "headers"
    BODY = "body"
    LINGER = "linger"
    IDLE = "idle"
    UNREAD = "unread"
    NOTHING = "nothing"


_INCOMPLETE = {Wait.NEW, Wait.HEADERS, Wait.BODY, Wait.LINGER}
_PIECE = 4096
SECONDS = {
    Wait.NEW: HEADER_SECONDS,
    Wait.HEADERS: HEADER_SECONDS,
    Wait.BODY: BODY_SECONDS,
    Wait.LINGER: LINGER_SECONDS,
    Wait.IDLE: IDLE_SECONDS,
    Wait.UNREAD: UNREAD_SECONDS,
}


class Connection(H11Protocol):
    """uvicorn's connection with an end to every wait, and a place among a bounded number.

    Args:
        most: How many connections may be open.

    Attributes:
        waits_for: What it is waited for.
        since: When that wait began, or when a body was last as far as it should be; by the loop's clock.
        dropped: Whether it is being closed without regard for what it still wants.
    """

    def __init__(self, *, most: int = CONNECTIONS, **named: Any) -> None:  # noqa: ANN401  as uvicorn makes it
        super().__init__(**named)
        self.waits_for = Wait.NOTHING
        self.since = 0.0
        self.dropped = False
        self._most = most
        self._timer: asyncio.TimerHandle | None = None
        self._is_new = True
        self._is_refused = False
        self._unread = 0

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]  # as uvicorn has it
        """Begin to wait for a request, and make room if there are too many."""
        super().connection_made(transport)
        if not self._is_at_home():
            self.drop()
            return
        self._look()
        self._make_room()

    def _is_at_home(self) -> bool:
        """Whether both ends are; where accepting does not look at that, as on Windows, it is seen here."""
        return all(end is None or is_at_home(end[0]) for end in (self.client, self.server))

    def connection_lost(self, exc: Exception | None) -> None:
        """Wait for nothing any more."""
        self._wait_for(Wait.NOTHING)
        super().connection_lost(exc)

    def data_received(self, data: bytes) -> None:
        """Take what came, and see what is waited for then."""
        if self.waits_for is Wait.BODY:
            self.since = min(self.loop.time(), self.since + len(data) / BODY_RATE)
        self._is_new = False
        while data and not self._is_refused and not self.transport.is_closing():
            # h11 measures headers that have no end yet, so they are shown to it in small pieces.
            size = _PIECE if self.conn.their_state is h11.IDLE else len(data)
            super().data_received(data[:size])
            data = data[size:]
        self._look()

    def on_response_complete(self) -> None:
        """See what is waited for after an answer."""
        super().on_response_complete()
        # How long it may idle is ours to say.
        self._unset_keepalive_if_required()
        self._look()

    def pause_writing(self) -> None:
        """See that somebody reads the answer."""
        super().pause_writing()
        self._look()

    def resume_writing(self) -> None:
        """Somebody reads the answer."""
        super().resume_writing()
        self._look()

    def shutdown(self) -> None:
        """End now if nothing is being answered, and otherwise after the answer."""
        if self.waits_for is Wait.NOTHING:
            super().shutdown()
        else:
            self.drop()

    def send_400_response(self, msg: str) -> None:  # noqa: ARG002  ours is another
        """Say what cannot be read; uvicorn calls this where h11 raised its error."""
        hint = getattr(sys.exception(), "error_status_hint", HTTPStatus.BAD_REQUEST)
        too_long = hint == HTTPStatus.REQUEST_HEADER_FIELDS_TOO_LARGE
        self._refuse(HTTPStatus(hint), LONG if too_long else UNFIT)

    def _look(self) -> None:
        wait = self._now_waited_for()
        if wait is not self.waits_for:
            self._wait_for(wait)

    def _now_waited_for(self) -> Wait:
        unread = self.transport.get_write_buffer_size()
        if self.transport.is_closing():
            return Wait.UNREAD if unread else Wait.NOTHING
        if self._is_refused:
            return Wait.LINGER
        is_answered = self.cycle is None or self.cycle.response_complete  # type: ignore[redundant-expr]  # none yet
        if unread and (self.flow.write_paused or is_answered):
            return Wait.UNREAD
        if self.conn.their_state is h11.SEND_BODY:
            return Wait.LINGER if is_answered else Wait.BODY
        if self.conn.their_state is not h11.IDLE:
            return Wait.NOTHING
        return self._wait_for_headers()

    def _wait_for_headers(self) -> Wait:
        if self.conn.trailing_data[0]:
            return Wait.HEADERS
        return Wait.NEW if self._is_new else Wait.IDLE

    def _wait_for(self, wait: Wait) -> None:
        # The first byte of a new connection's request is no new beginning.
        if (self.waits_for, wait) != (Wait.NEW, Wait.HEADERS):
            self.since = self.loop.time()
        self.waits_for = wait
        self._unread = self.transport.get_write_buffer_size()
        if self._timer is not None:
            self._timer.cancel()
        self._timer = None if wait is Wait.NOTHING else self._call_when_due()

    def _call_when_due(self) -> asyncio.TimerHandle:
        return self.loop.call_at(self.since + SECONDS[self.waits_for], self._on_time)

    def _on_time(self) -> None:
        if self._got_on():
            self.since = self.loop.time()
        if self.loop.time() < self.since + SECONDS[self.waits_for]:
            self._timer = self._call_when_due()
        elif self.waits_for in {Wait.HEADERS, Wait.BODY}:
            self._refuse(HTTPStatus.REQUEST_TIMEOUT, SLOW)
        else:
            self.drop()

    def _got_on(self) -> bool:
        """Whether the client is not the one who is slow."""
        if self.waits_for is Wait.BODY:
            return self.flow.read_paused
        if self.waits_for is Wait.UNREAD:
            before, self._unread = self._unread, self.transport.get_write_buffer_size()
            return self._unread < before
        return False

    def _make_room(self) -> None:
        """Close the oldest that is incomplete, or the oldest of all that are not being answered."""
        theirs = [one for one in self.connections if isinstance(one, Connection) and one is not self]
        others = [one for one in theirs if not one.dropped]
        incomplete = [one for one in others if one.waits_for in _INCOMPLETE]
        spared = [one for one in others if one.waits_for is not Wait.NOTHING]
        if len(incomplete) >= min(INCOMPLETE, self._most):
            min(incomplete, key=_age).drop()
        elif len(others) < self._most:
            return
        elif spared:
            min(spared, key=_age).drop()
        else:
            self._refuse(HTTPStatus.SERVICE_UNAVAILABLE, CROWD)

    def drop(self) -> None:
        """Close at once."""
        self.dropped = True
        self.transport.abort()

    def _refuse(self, status: HTTPStatus, sentence: str) -> None:
        """Answer without the application, if there is no answer yet, and end once the client has read it."""
        self._is_refused = True
        if self.cycle is not None:
            self.cycle.disconnected = True
            self.cycle.message_event.set()
        if self.conn.our_state in {h11.IDLE, h11.SEND_RESPONSE}:
            self.transport.write(_written(status, sentence))
        if self.conn.our_state in {h11.IDLE, h11.SEND_RESPONSE} and self.transport.can_write_eof():
            self.transport.write_eof()
            self.flow.resume_reading()
        else:
            # TLS has no half of a connection to end (asyncio's does not), so it ends whole.
            self.transport.close()
        self._look()


def _age(connection: Connection) -> float:
    return connection.since


def _written(status: HTTPStatus, sentence: str) -> bytes:
    """A whole answer in plain text, after which the connection closes."""
    body = f"{sentence}\n".encode()
    headers = {
        **HEADERS,
        "content-type": "text/plain; charset=utf-8",
        "content-length": str(len(body)),
        "cache-control": "no-store",
        "connection": "close",
    }
    if status is HTTPStatus.SERVICE_UNAVAILABLE:
        headers["retry-after"] = str(RETRY_SECONDS)
    lines = [
        f"HTTP/1.1 {status.value} {status.phrase}",
        *(f"{name}: {value}" for name, value in headers.items()),
    ]
    return "\r\n".join([*lines, "", ""]).encode() + body
