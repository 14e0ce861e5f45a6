"""How much one request may hold."""

from __future__ import annotations

from sys import maxsize
from typing import TYPE_CHECKING

from starlette.datastructures import Headers
from starlette.exceptions import HTTPException
from starlette.requests import Request

from coach.course.digits import whole_number
from coach.limits import PACKED_BYTES, PACKED_FILE_BYTES
from coach.web import problems

if TYPE_CHECKING:
    from collections.abc import Mapping

    from starlette.types import ASGIApp, Message, Receive, Scope, Send

KIB = 1024
USUAL = 64 * KIB
LARGER = {
    "/api/areas": KIB * KIB,
    "/api/log.csv": 16 * KIB * KIB,
    "/data/import": 16 * KIB * KIB,
    "/data/home": 32 * KIB * KIB,
    "/data/restore": 512 * KIB * KIB,
    "/rescue/restore": 512 * KIB * KIB,
    # What is pasted here is refused in words, with the text still in its field.
    "/api/to-dos": KIB * KIB,
    "/desk/to-dos": KIB * KIB,
    "/api/courses": PACKED_BYTES,
    "/dinner": KIB * KIB,
}
LARGER_IN_GROUPS = {
    # A packed course, and what a form puts around it.
    "/course": PACKED_BYTES + USUAL,
    # The lessons of one step, in which a form may write each letter as three or more.
    "/course/words": 4 * PACKED_FILE_BYTES,
}
"""Bytes taken by addresses of a group, by how they end."""


class Sizes:
    """ASGI middleware that answers 413 to a body larger than its address takes, before or while it is read.

    Args:
        app: What reads the body.
        larger: Bytes taken by addresses that take more than the usual.
    """

    def __init__(self, app: ASGIApp, larger: Mapping[str, int] = LARGER) -> None:
        self.app = app
        self.larger = larger

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass the request on with its body counted."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        limit = self.larger.get(scope["path"]) or _in_a_group(scope["path"])
        if _declared(scope) > limit:
            answer = problems.answer(Request(scope), problems.problem("too-large"))
            await answer(scope, receive, send)
            return
        left = limit

        async def receive_counted() -> Message:
            nonlocal left
            message = await receive()
            left -= len(message.get("body", b""))
            if left < 0:
                raise HTTPException(413)
            return message

        await self.app(scope, receive_counted, send)


def _in_a_group(path: str) -> int:
    """What an address takes that stands in no list: in a group by how it ends, elsewhere the usual."""
    _, _, rest = path.removeprefix("/api").removeprefix("/groups/").partition("/")
    is_groups = path.startswith(("/groups/", "/api/groups/"))
    return LARGER_IN_GROUPS.get(f"/{rest}", USUAL) if is_groups else USUAL


def _declared(scope: Scope) -> int:
    """The length the request says it has; what is no number is left to be counted."""
    length = Headers(scope=scope).get("content-length", "")
    return whole_number(length, maxsize) or 0
