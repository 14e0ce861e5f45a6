"""The server: uvicorn with our connections, as many of them as the process may have files open for."""

from __future__ import annotations

import asyncio
import logging
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, Any, cast

import uvicorn

from coach.limits import (
    ACCEPTED_AT_ONCE,
    CONNECTIONS,
    GRACE_SECONDS,
    HANDSHAKES,
    HEADER_BYTES,
    HEADER_SECONDS,
    KNOCKING,
    LAST_SECONDS,
    LINGER_SECONDS,
    LOOK_SECONDS,
    SPARE_FILES,
)
from coach.web.connections import Connection
from coach.web.events import raised

try:
    import resource
except ImportError:  # Windows, where files are not counted so
    resource = None  # type: ignore[assignment]  # asked for before it is used

if TYPE_CHECKING:
    import socket
    import ssl
    from collections.abc import Callable, Sequence

    from starlette.types import ASGIApp

    from coach.web.listening import BoundedSocket

FEWEST = 8
"""Connections for which there has to be room, however few files the process may open."""


log = logging.getLogger("coach.events")


@dataclass(frozen=True, slots=True)
class Secure:
    """Where TLS is spoken, and what it is spoken with.

    Attributes:
        sockets: They listen already.
        context: Whatever certificate it holds as a connection begins is shown on that.
    """

    sockets: Sequence[BoundedSocket]
    context: ssl.SSLContext


class Server(uvicorn.Server):
    """uvicorn, bounded.

    Args:
        app: What it serves.
        end_waits: Called, when the service ends, after which no request is to wait for its turn any more.
        secure: Where it speaks TLS beside http.
        look: Called in a thread every `LOOK_SECONDS` while the service runs.
        end_holds: Called as soon as it is told to end, after which no page is to be held any more.
        options: What else uvicorn is told.
    """

    def __init__(
        self,
        app: ASGIApp,
        end_waits: Callable[[], None],
        end_holds: Callable[[], None] = lambda: None,
        secure: Secure | None = None,
        look: Callable[[], None] | None = None,
        **options: Any,  # noqa: ANN401  as uvicorn.Config takes them
    ) -> None:
        self._end_waits = end_waits
        self._end_holds = end_holds
        self._secure = secure
        self._look = look
        self._looking: asyncio.Task[None] | None = None
        bounds: dict[str, Any] = {
            # Whoever is not at home is hung up on as asyncio's own loop accepts (coach/web/listening.py).
            "loop": "asyncio",
            "http": partial(Connection, most=most_connections()),
            "ws": "none",
            "backlog": ACCEPTED_AT_ONCE,
            "h11_max_incomplete_event_size": HEADER_BYTES,
            "timeout_graceful_shutdown": GRACE_SECONDS,
        }
        said: dict[str, Any] = {
            # The commands say how to log.
            "log_config": None,
            "log_level": "warning",
            "access_log": False,
            "server_header": False,
        }
        super().__init__(uvicorn.Config(cast("Any", app), **bounds, **said, **options))

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        """Begin to accept connections, few at a time while many may knock."""
        await super().startup(sockets)
        if self._secure is not None:
            await self._speak_tls(self._secure)
        # asyncio takes the backlog for both.
        for listening in (*(sockets or ()), *(self._secure.sockets if self._secure else ())):
            listening.listen(KNOCKING)
        if self._look is not None:
            self._looking = asyncio.create_task(_look_again(self._look))

    async def _speak_tls(self, secure: Secure) -> None:
        """Accept connections that begin with a handshake; the connection itself tells https from http."""
        loop = asyncio.get_running_loop()
        for listening in secure.sockets:
            listening.has_room = self._has_room_for_a_handshake
            server = await loop.create_server(
                self._connection,
                sock=listening,
                ssl=secure.context,
                backlog=ACCEPTED_AT_ONCE,
                ssl_handshake_timeout=HEADER_SECONDS,
                ssl_shutdown_timeout=LINGER_SECONDS,
            )
            self.servers.append(server)

    def _has_room_for_a_handshake(self) -> bool:
        """Whether few enough of those that were accepted are no connections yet."""
        sockets = self._secure.sockets if self._secure else ()
        files = {one.fileno() for listening in sockets for one in listening.accepted} - {-1}
        if len(files) < HANDSHAKES:
            return True
        made = {one.transport.get_extra_info("socket").fileno() for one in self.server_state.connections}
        return len(files - made) < HANDSHAKES

    def _connection(self) -> asyncio.Protocol:
        made: asyncio.Protocol = self.config.http_protocol_class(  # type: ignore[call-arg]  # a partial of ours
            config=self.config, server_state=self.server_state, app_state=self.lifespan.state
        )
        return made

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        """End what is being answered, and refuse what still waits when the time for that is almost over."""
        if self._looking is not None:
            self._looking.cancel()
        self._end_holds()
        asyncio.get_running_loop().call_later(GRACE_SECONDS - LAST_SECONDS, self._end_waits)
        await super().shutdown(sockets)


async def _look_again(look: Callable[[], None]) -> None:
    """Look over and over; what goes wrong once is logged and harms nothing else."""
    while True:
        await asyncio.sleep(LOOK_SECONDS)
        try:
            await asyncio.to_thread(look)
        except Exception as error:  # noqa: BLE001  logged, and tried again
            log.error("network: %s", raised(error), extra={"kind": "network"})  # noqa: TRY400  its words stay out of the log


def most_connections() -> int:
    """How many connections there may be, after the process was allowed as many open files as it can have."""
    if resource is None:
        return CONNECTIONS
    now, last = resource.getrlimit(resource.RLIMIT_NOFILE)
    wanted = CONNECTIONS + SPARE_FILES
    if _is_fewer(now, wanted):
        now = wanted if not _is_fewer(last, wanted) else last
        resource.setrlimit(resource.RLIMIT_NOFILE, (now, last))
    return CONNECTIONS if not _is_fewer(now, wanted) else max(FEWEST, now - SPARE_FILES)


def _is_fewer(files: int, wanted: int) -> bool:
    return files != resource.RLIM_INFINITY and files < wanted
