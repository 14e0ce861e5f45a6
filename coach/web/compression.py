"""What is sent compressed: answers as they are made, kept pages once, static files once."""

from __future__ import annotations

import zlib
from typing import TYPE_CHECKING

from starlette.datastructures import Headers
from starlette.middleware.gzip import DEFAULT_EXCLUDED_CONTENT_TYPES, GZipMiddleware

if TYPE_CHECKING:
    from starlette.types import ASGIApp, Receive, Scope, Send

LEAST = 1024
"""An answer of fewer bytes is sent as it is: it fits into one packet anyway."""

LEVEL = 4
"""How hard answers are compressed. Today's page of the demo household, 33 kB: 7.1 kB in 76 µs at level 1,
6.4 kB in 146 µs at level 4, 6.2 kB in 316 µs at level 9."""

BEST = 9
"""The same for what is compressed once and sent for months."""

ENCODED = {"content-encoding": "gzip", "vary": "Accept-Encoding"}
"""The headers of what is compressed."""

DATABASE = "application/vnd.sqlite3"
"""The content type of a database."""

CALENDAR = "text/calendar"
"""The content type of a calendar, which is sent as it is: its ETag names these very bytes, and compressed
they would be others (RFC 9110 §8.8.3.3). A program fetches it anew only when it has changed."""

_GZIP = 16 + zlib.MAX_WBITS


def packed(body: bytes, level: int = LEVEL) -> bytes:
    """The same in gzip's format (RFC 1952), without a time, so that the same bytes give the same bytes."""
    compressor = zlib.compressobj(level, zlib.DEFLATED, _GZIP)
    return compressor.compress(body) + compressor.flush()


def takes_gzip(headers: Headers) -> bool:
    """Whether whoever asks reads gzip (RFC 9110 §12.5.3)."""
    weights = {}
    for part in ",".join(headers.getlist("accept-encoding")).split(","):
        coding, _, weight = part.partition(";")
        weights[coding.strip().lower()] = weight.replace(" ", "").lower()
    weight = weights.get("gzip", weights.get("*", "q=0"))
    return weight == "" or weight.removeprefix("q=").strip("0.") != ""


def is_wanted(headers: Headers) -> bool:
    """Whether an answer with a household's words in it is compressed.

    Not for a page of another origin: its length, compressed, would tell whoever makes a browser ask,
    and sees what passes, whether words it guesses stand in the answer.
    """
    return headers.get("sec-fetch-site", "none") in {"same-origin", "none"} and takes_gzip(headers)


class Compression(GZipMiddleware):
    """ASGI middleware that compresses what is made for one request.

    A database is sent as it is read, with its length; static files see to themselves.

    Args:
        app: What answers.
    """

    def __init__(self, app: ASGIApp) -> None:
        as_it_is = (*DEFAULT_EXCLUDED_CONTENT_TYPES, DATABASE, CALENDAR)
        super().__init__(app, LEAST, LEVEL, exclude_content_types=as_it_is)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass the request on, and compress the answer if that is wanted."""
        if scope["type"] != "http" or scope["path"].startswith("/static/"):
            await self.app(scope, receive, send)
        elif is_wanted(Headers(scope=scope)):
            await super().__call__(scope, receive, send)
        else:
            kept = [(name, value) for name, value in scope["headers"] if name != b"accept-encoding"]
            await super().__call__({**scope, "headers": kept}, receive, send)
