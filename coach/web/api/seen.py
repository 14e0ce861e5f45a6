"""What a program saw: ETag on what it reads, If-Match on what it replaces (RFC 9110 §8.8.3, §13.1.1)."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from hashlib import sha256
from typing import TYPE_CHECKING, Annotated, TypeVar

from fastapi import Header
from fastapi.responses import Response

from coach.errors import Outdated

if TYPE_CHECKING:
    from collections.abc import Callable

    from pydantic import TypeAdapter

    from coach.ground.ports import Context
    from coach.ground.situation import Situation

Result = TypeVar("Result")

IfMatch = Annotated[
    str | None,
    Header(
        description="The `ETag` of the answer that is being changed. If something else stands there by now, "
        "nothing is written and the answer is a 412; without the header whatever stands there is replaced."
    ),
]

ANY = "*"
OUTDATED = (
    "This was changed since you read it, so nothing was written. `now` is how it stands; "
    "read it again and send your change with the new ETag."
)
# A weak tag (W/"...") never counts as the same (RFC 9110 §8.8.3.2), so the quote must not follow a slash.
_STRONG = re.compile(r'(?<!/)"[^"]*"')


def tag(body: bytes) -> str:
    """The strong entity tag of an answer's bytes."""
    return f'"{sha256(body).hexdigest()[:32]}"'


def tagged(adapter: TypeAdapter[Result], result: Result, part: bytes | None = None) -> Response:
    """A result as JSON with its ETag; it comes from our own use cases, so it is not validated again.

    Args:
        adapter: Writes it.
        result: What is answered.
        part: The part that can be replaced, where the rest changes by the clock; the tag is of that.
    """
    body = adapter.dump_json(result)
    return Response(body, headers={"etag": tag(part or body)}, media_type="application/json")


def matching(
    context: Context,
    if_match: str | None,
    adapter: TypeAdapter[Result],
    read: Callable[[Situation], Result],
) -> Context:
    """The context for a change that holds only while what was read still stands.

    It is looked at in the transaction that writes, so no other change can come between.

    Args:
        context: Store, lessons and clock.
        if_match: The header as it was sent; none: whatever stands is replaced.
        adapter: Writes what is read.
        read: What the address answered with.
    """
    if if_match is None or if_match.strip() == ANY:
        return context
    seen = set(_STRONG.findall(if_match))

    def sure(where: Situation) -> None:
        body = adapter.dump_json(read(where))
        if tag(body) not in seen:
            raise Outdated(OUTDATED, {"now": json.loads(body), "etag": tag(body)})

    return replace(context, sure=sure)
