"""Clients whose requests run in one event loop, where Starlette's would begin another for each request."""

from __future__ import annotations

import threading
from functools import cache
from queue import SimpleQueue
from typing import TYPE_CHECKING, Any

import anyio
from anyio.from_thread import BlockingPortal
from starlette.testclient import TestClient

if TYPE_CHECKING:
    from fastapi import FastAPI


def client_of(app: FastAPI, **options: Any) -> TestClient:  # noqa: ANN401  as TestClient takes them
    """A client of an application that has no beginning and no end; it does not follow redirects."""
    client = TestClient(app, follow_redirects=False, **options)
    client.portal = _portal()
    return client


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
