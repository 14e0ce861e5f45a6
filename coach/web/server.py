"""The server: uvicorn with our connections, as many of them as the process may have files open for."""

from __future__ import annotations

import asyncio
from functools import partial
from typing import TYPE_CHECKING, Any, cast

import uvicorn

from coach.limits import (
    ACCEPTED_AT_ONCE,
    CONNECTIONS,
    GRACE_SECONDS,
    HEADER_BYTES,
    KNOCKING,
    LAST_SECONDS,
    SPARE_FILES,
)
from coach.web.connections import Connection

try:
    import resource
except ImportError:  # Windows, where files are not counted so
    resource = None  # type: ignore[assignment]  # asked for before it is used

if TYPE_CHECKING:
    import socket
    from collections.abc import Callable

    from starlette.types import ASGIApp

FEWEST = 8
"""Connections for which there has to be room, however few files the process may open."""


class Server(uvicorn.Server):
    """uvicorn, bounded.

    Args:
        app: What it serves.
        end_waits: Called, when the service ends, after which no request is to wait for its turn any more.
        options: What else uvicorn is told.
    """

    def __init__(self, app: ASGIApp, end_waits: Callable[[], None], **options: Any) -> None:  # noqa: ANN401  as uvicorn.Config takes them
        self._end_waits = end_waits
        bounds: dict[str, Any] = {
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
        # asyncio takes the backlog for both.
        for listening in sockets or []:
            listening.listen(KNOCKING)

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        """End what is being answered, and refuse what still waits when the time for that is almost over."""
        asyncio.get_running_loop().call_later(GRACE_SECONDS - LAST_SECONDS, self._end_waits)
        await super().shutdown(sockets)


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
