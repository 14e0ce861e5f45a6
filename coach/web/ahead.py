"""Noting that a first page has been served, after which a hosted service loads ahead what is slow to load."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import threading

    from starlette.types import ASGIApp, Message, Receive, Scope, Send


class Served:
    """ASGI middleware that notes that a first answer has gone out whole.

    Args:
        app: What answers.
        first: Set from then on.
    """

    def __init__(self, app: ASGIApp, first: threading.Event) -> None:
        self._app = app
        self._first = first

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass everything on as it is."""
        if scope["type"] != "http" or self._first.is_set():
            await self._app(scope, receive, send)
            return

        async def noting(message: Message) -> None:
            await send(message)
            if message["type"] == "http.response.body" and not message.get("more_body", False):
                self._first.set()

        await self._app(scope, receive, noting)
