"""Marks a step over many connections at once, and prints what came of it as JSON.

Its arguments are port, date, number of connections, seconds.
"""

from __future__ import annotations

import asyncio
import json
import sys
import time
from dataclasses import dataclass, field

WORDS = ("kept", "small", "missed", "excused")


@dataclass
class Told:
    """What one connection met: how each answer began, and the longest wait in seconds."""

    statuses: list[int] = field(default_factory=list)
    longest: float = 0.0


def request(date: str, number: int) -> bytes:
    body = json.dumps({"mark": WORDS[number % len(WORDS)]})
    head = (
        f"PUT /api/days/{date}/marks/bed-made HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: application/json"
    )
    return f"{head}\r\nContent-Length: {len(body)}\r\n\r\n{body}".encode()


async def answer(reader: asyncio.StreamReader) -> int:
    head = (await reader.readuntil(b"\r\n\r\n")).decode("latin-1").lower()
    length = int(head.split("content-length: ")[1].split("\r\n")[0])
    await reader.readexactly(length)
    return int(head.split(" ")[1])


async def write(port: int, date: str, until: float, number: int) -> Told:
    told = Told()
    reader, writer = await asyncio.open_connection("127.0.0.1", port)
    while time.monotonic() < until:
        begun = time.monotonic()
        writer.write(request(date, number + len(told.statuses)))
        try:
            told.statuses.append(await answer(reader))
        except (asyncio.IncompleteReadError, ConnectionError) as error:
            # Closed between two answers; one that was cut off is a fault.
            if getattr(error, "partial", b""):
                raise
            break
        told.longest = max(told.longest, time.monotonic() - begun)
    writer.close()
    return told


async def main(port: int, date: str, connections: int, seconds: float) -> None:
    until = time.monotonic() + seconds
    told = await asyncio.gather(*(write(port, date, until, number) for number in range(connections)))
    statuses = [status for one in told for status in one.statuses]
    counts = [len(one.statuses) for one in told]
    found = {str(status): statuses.count(status) for status in set(statuses)}
    fewest, most, longest = min(counts), max(counts), max(one.longest for one in told)
    print(json.dumps({"statuses": found, "fewest": fewest, "most": most, "longest": longest}))  # noqa: T201


if __name__ == "__main__":
    asyncio.run(main(int(sys.argv[1]), sys.argv[2], int(sys.argv[3]), float(sys.argv[4])))
