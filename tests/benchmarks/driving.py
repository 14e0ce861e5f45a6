"""Driving an application without a network: one ASGI call, timed."""

from __future__ import annotations

import asyncio
import statistics
import time
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from starlette.types import ASGIApp, Message


async def _get(app: ASGIApp, path: str, known: bytes = b"") -> int:
    status = 0

    async def receive() -> Message:
        return {"type": "http.request", "body": b"", "more_body": False}

    async def send(message: Message) -> None:
        nonlocal status
        if message["type"] == "http.response.start":
            status = message["status"]

    scope = {
        "type": "http",
        "asgi": {"version": "3.0", "spec_version": "2.3"},
        "http_version": "1.1",
        "method": "GET",
        "scheme": "http",
        "path": path,
        "raw_path": path.encode(),
        "query_string": b"",
        "root_path": "",
        "headers": [(b"host", b"127.0.0.1"), *([(b"if-none-match", known)] if known else [])],
        "client": ("127.0.0.1", 1),
        "server": ("127.0.0.1", 80),
    }
    await app(scope, receive, send)
    return status


Call = tuple["ASGIApp", str] | tuple["ASGIApp", str, bytes]
"""An application, a path, and the ETag of what is known already."""


def medians(
    calls: Sequence[Call],
    rounds: int,
    before: Callable[[], None] | None = None,
    warm: int = 20,
    clock: Callable[[], float] = time.perf_counter,
    take: Callable[[Sequence[float]], float] = statistics.median,
) -> list[float]:
    """The median seconds of each call, taken in turns so that a busy machine slows all of them alike.

    Args:
        calls: Applications and paths.
        rounds: How often each is called.
        before: Done before every round, outside the time taken.
        warm: Rounds that do not count.
        clock: What the time is taken by. Other work on the machine interrupts a long call more often than a
            short one; `time.process_time` leaves that out, where the calls wait for nothing themselves.
        take: What is made of the times of a call.
    """

    async def drive() -> list[list[float]]:
        taken: list[list[float]] = [[] for _ in calls]
        for count in range(rounds + warm):
            if before is not None:
                before()
            for times, (app, path, *known) in zip(taken, calls, strict=True):
                begun = clock()
                status = await _get(app, path, *known)
                spent = clock() - begun
                assert status == (304 if known else 200)
                if count >= warm:
                    times.append(spent)
        return taken

    return [take(times) for times in asyncio.run(drive())]


def lower_quartile(times: Sequence[float]) -> float:
    """What three calls in four take longer than: without the waits that other work on the disk brings."""
    return statistics.quantiles(times, n=4)[0]
