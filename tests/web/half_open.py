"""Clients that begin and do not end: sockets of a test that keep a service waiting."""

from __future__ import annotations

import select
import socket
from contextlib import ExitStack, contextmanager
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

HALF_A_HEAD = b"GET /today HTTP/1.1\r\nHost: 127.0.0.1\r\nX-Rest: "
HALF_A_BODY = (
    b"POST /desk/to-dos HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: application/x-www-form-urlencoded\r\n"
    b"Content-Length: 5000\r\n\r\ntitle=half"
)
BEGINNINGS = (b"", HALF_A_HEAD, HALF_A_BODY)


def connect(port: int, said: bytes = b"") -> socket.socket:
    """A connection that has said so much."""
    client = socket.create_connection(("127.0.0.1", port), timeout=30)
    client.sendall(said)
    return client


@contextmanager
def half_open(port: int, number: int) -> Iterator[list[socket.socket]]:
    """So many connections that have said nothing, a part of their headers, or a part of a body, in turn."""
    with ExitStack() as opened:
        sockets = [connect(port, BEGINNINGS[index % len(BEGINNINGS)]) for index in range(number)]
        for one in sockets:
            opened.enter_context(one)
        yield sockets


def is_closed(client: socket.socket) -> bool:
    """Whether the other side has closed it, after whatever it said before."""
    while select.select([client], [], [], 0)[0]:
        try:
            if not client.recv(65536):
                return True
        except ConnectionError:
            return True
    return False


def heard(client: socket.socket) -> bytes:
    """All that the other side says until it closes."""
    said = bytearray()
    try:
        while piece := client.recv(65536):
            said += piece
    except ConnectionError:
        pass
    return bytes(said)
