"""Connections until both ends have agreed on keys: few at a time, and none for long.

asyncio tells a protocol of a TLS connection only once it has shaken hands. Until then nobody would count it,
so whoever opens connections and says nothing would use up the files of the process.
"""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING

from coach.limits import GREETINGS, HEADER_SECONDS

if TYPE_CHECKING:
    import ssl


class Greetings:
    """The connections of one listening socket that are shaking hands.

    Args:
        context: What the service shows.
        most: How many there may be at a time.
        seconds: How long each may take.
    """

    def __init__(
        self, context: ssl.SSLContext, most: int = GREETINGS, seconds: float = HEADER_SECONDS
    ) -> None:
        self.context = context
        self.seconds = seconds
        self._most = most
        self._waiting: dict[Greeting, None] = {}

    @property
    def number(self) -> int:
        """How many there are."""
        return len(self._waiting)

    def before(self, protocol: asyncio.Protocol) -> asyncio.Protocol:
        """What asyncio is given, without `ssl`, in the place of a protocol; it hands over to that."""
        return Greeting(self, protocol)

    def come(self, one: Greeting) -> None:
        """Count one in, at the cost of the oldest where there are too many."""
        if len(self._waiting) >= self._most:
            next(iter(self._waiting)).leave()
        self._waiting[one] = None

    def go(self, one: Greeting) -> None:
        """Count one out."""
        self._waiting.pop(one, None)

    def end(self) -> None:
        """Close all of them, since the service ends."""
        for one in list(self._waiting):
            one.leave()


class Greeting(asyncio.Protocol):
    """One of them; it keeps what comes with the last of the handshake for the protocol that takes over."""

    def __init__(self, all_of_them: Greetings, protocol: asyncio.Protocol) -> None:
        self._all = all_of_them
        self._protocol = protocol
        self._transport: asyncio.Transport | None = None
        self._shaking: asyncio.Task[None] | None = None
        self._early: list[bytes] = []
        self._ended = False

    def connection_made(self, transport: asyncio.BaseTransport) -> None:
        """Begin to shake hands."""
        assert isinstance(transport, asyncio.Transport)  # noqa: S101  asyncio gives a stream no other
        self._transport = transport
        # Not a byte of it may be taken for anything but TLS.
        transport.pause_reading()
        self._all.come(self)
        self._shaking = asyncio.get_running_loop().create_task(self._shake(transport))

    async def _shake(self, transport: asyncio.Transport) -> None:
        loop = asyncio.get_running_loop()
        secure: asyncio.Transport | None = None
        try:
            secure = await loop.start_tls(
                transport,
                self,
                self._all.context,
                server_side=True,
                ssl_handshake_timeout=self._all.seconds,
            )
        except (OSError, asyncio.CancelledError):
            # Errors of TLS and of connections are kinds of OSError: whoever it was has heard why.
            transport.abort()
        finally:
            self._all.go(self)
        if secure is not None and not secure.is_closing():
            self._hand_over(secure)

    def _hand_over(self, secure: asyncio.Transport) -> None:
        secure.set_protocol(self._protocol)
        self._protocol.connection_made(secure)
        for data in self._early:
            self._protocol.data_received(data)
        if self._ended and not self._protocol.eof_received():
            secure.close()

    def data_received(self, data: bytes) -> None:
        """Keep what came early."""
        self._early.append(data)

    def eof_received(self) -> bool:
        """Keep that no more will come, and leave the connection open until that is told."""
        self._ended = True
        return True

    def connection_lost(self, _error: Exception | None) -> None:
        """It has gone before its time."""
        self.leave()

    def leave(self) -> None:
        """Close it."""
        self._all.go(self)
        if self._shaking is not None:
            self._shaking.cancel()
        if self._transport is not None:
            self._transport.abort()
