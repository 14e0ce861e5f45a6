"""Clients that ask an application in one event loop, with one step into it and back for each request.

Starlette's own would begin another loop for each request, and go there and back for every part of an answer.
"""

from __future__ import annotations

import threading
from functools import cache
from queue import SimpleQueue
from typing import TYPE_CHECKING, Any

import anyio
import httpx2
from anyio.from_thread import BlockingPortal
from starlette.testclient import TestClient

if TYPE_CHECKING:
    from fastapi import FastAPI


def client_of(app: FastAPI, **options: Any) -> TestClient:  # noqa: ANN401  as TestClient takes them
    """A client of an application that has no beginning and no end; it does not follow redirects.

    An answer comes when the whole of it is there, so that one without an end is waited for without an end.
    """
    client = TestClient(app, follow_redirects=False, **options)
    asked_by = options.get("client", ("testclient", 50000))
    client._transport = _Asking(  # noqa: SLF001  it takes none itself
        httpx2.ASGITransport(app, options.get("raise_server_exceptions", True), client=asked_by)
    )
    return client


class _Asking(httpx2.BaseTransport):
    """The way of a request to an application whose loop runs in another thread."""

    def __init__(self, into: httpx2.ASGITransport) -> None:
        self._into = into

    def handle_request(self, request: httpx2.Request) -> httpx2.Response:
        """Ask, and wait for the whole answer."""
        request.read()
        return _portal().call(self._answered, request)

    async def _answered(self, request: httpx2.Request) -> httpx2.Response:
        answer = await self._into.handle_async_request(request)
        body = b"".join([part async for part in answer.stream])  # type: ignore[union-attr]  # it is such a stream
        return httpx2.Response(answer.status_code, headers=answer.headers, stream=httpx2.ByteStream(body))


@cache
def _portal() -> BlockingPortal:
    """The way into a loop that runs as long as the process."""
    opened: SimpleQueue[BlockingPortal] = SimpleQueue()

    async def serve() -> None:
        async with BlockingPortal() as portal:
            opened.put(portal)
            await portal.sleep_until_stopped()

    threading.Thread(target=anyio.run, args=(serve,), daemon=True, name="requests of the tests").start()
    return opened.get()
