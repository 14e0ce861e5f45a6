"""Requests that are no whole HTTP: cut short, too long, of a wrong length, or none at all."""

from __future__ import annotations

import re
import socket
from typing import TYPE_CHECKING

from attack.hostile import FORM
from attack.spoiling import BOUNDARY
from commands.running import PATIENCE

if TYPE_CHECKING:
    from random import Random

_TO_DOS = b"POST /desk/to-dos HTTP/1.1\r\n"
_IMPORT = b"POST /data/import HTTP/1.1\r\n"
_HOST = b"Host: 127.0.0.1\r\n"
_FORM = f"Host: 127.0.0.1\r\nContent-Type: {FORM}\r\n".encode()
_PARTS = f"Host: 127.0.0.1\r\nContent-Type: multipart/form-data; boundary={BOUNDARY}\r\n".encode()
_CHUNKED = b"Transfer-Encoding: chunked\r\n"
_FILE = (
    f'--{BOUNDARY}\r\nContent-Disposition: form-data; name="log"; filename="a.csv"\r\n\r\ndate,wh'.encode()
)

REQUESTS = (
    b"",
    b"\r\n\r\n\r\n",
    b"\x16\x03\x01\x02\x00\x01\x00",
    b"GET",
    b"GET /today",
    b"GET /today HTTP/9.9\r\n" + _HOST + b"\r\n",
    b"GET /today HTTP/1.1\r\n\r\n",
    b"GET /today HTTP/1.1\r\n" + _HOST + _HOST + b"\r\n",
    b"GET /today HTTP/1.0\r\n\r\n",
    b"GET /\xff\xfe HTTP/1.1\r\n" + _HOST + b"\r\n",
    b"GET /to day HTTP/1.1\r\n" + _HOST + b"\r\n",
    b"GET http://elsewhere.example/today HTTP/1.1\r\n" + _HOST + b"\r\n",
    b"GET * HTTP/1.1\r\n" + _HOST + b"\r\n",
    b"GET /today HTTP/1.1\r\n" + _HOST + b"X: " + b"y" * 100_000 + b"\r\n\r\n",
    b"GET /today HTTP/1.1\r\n" + _HOST + b"X: y\r\n" * 20_000 + b"\r\n",
    b"GET /today HTTP/1.1\r\n" + _HOST + b"X\x00: y\r\n\r\n",
    b"GET /today HTTP/1.1\r\n"
    + _HOST
    + b"Upgrade: websocket\r\nConnection: Upgrade\r\nSec-WebSocket-Key: a\r\n\r\n",
    b"PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n",
    _TO_DOS + _FORM + b"Content-Length: 900\r\n\r\ntitles=a",
    _TO_DOS + _FORM + b"Content-Length: 3\r\n\r\ntitles=a&kind=open",
    _TO_DOS + _FORM + b"Content-Length: -1\r\n\r\ntitles=a",
    _TO_DOS + _FORM + b"Content-Length: 8\r\nContent-Length: 9\r\n\r\ntitles=a",
    _TO_DOS + _FORM + b"Content-Length: 99999999999999999999\r\n\r\ntitles=a",
    _TO_DOS + _FORM + _CHUNKED + b"\r\n8\r\ntitles=a\r\n",
    _TO_DOS + _FORM + _CHUNKED + b"\r\nzz\r\ntitles=a\r\n0\r\n\r\n",
    _TO_DOS + _FORM + _CHUNKED + b"Content-Length: 4\r\n\r\n0\r\n\r\n",
    _IMPORT + _PARTS + b"Content-Length: 5000\r\n\r\n" + _FILE,
    _IMPORT + _PARTS + _CHUNKED + b"\r\n20\r\n" + _FILE[:32] + b"\r\n",
    b"PUT /api/available HTTP/1.1\r\n"
    + _HOST
    + b'Content-Type: application/json\r\nContent-Length: 50\r\n\r\n{"minutes":',
    b"POST /api/log.csv HTTP/1.1\r\n"
    + _HOST
    + b"Content-Type: text/csv\r\nContent-Length: 70000\r\n\r\ndate,what",
)


def send_broken(port: int, random: Random) -> tuple[bytes, int | None]:
    """Send one of them and nothing after it; what was sent, and the status of the answer if there was one.

    Raises:
        TimeoutError: The service neither answered nor let go.
    """
    sent = random.choice(REQUESTS)
    if random.random() < 0.2:
        sent = sent[: random.randrange(len(sent) + 1)]
    answer = b""
    with socket.create_connection(("127.0.0.1", port), timeout=PATIENCE) as connection:
        try:
            connection.sendall(sent)
            connection.shutdown(socket.SHUT_WR)
            while more := connection.recv(65536):
                answer += more
        except (BrokenPipeError, ConnectionResetError):
            pass
    found = re.match(rb"HTTP/1\.[01] (\d{3})", answer)
    return sent, int(found[1]) if found else None
