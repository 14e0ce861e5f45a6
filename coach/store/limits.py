"""What every store takes: text that both databases can hold, and request ids of a bounded length."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.errors import Malformed

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from coach.progress.log import Row

LONGEST_REQUEST_ID = 200
"""Characters; an index of PostgreSQL takes no more than about 2,700 bytes."""


def check_rows(rows: Sequence[Row], logged_at: datetime, request_id: str | None) -> None:
    """Refuse rows that some database could not hold.

    Raises:
        Malformed: A text has a NUL character or half of a character, or the request id is too long.
        ValueError: The instant has no zone, which is a fault of our own.
    """
    if logged_at.utcoffset() is None:
        raise ValueError("An instant of writing needs a zone.")
    for row in rows:
        for text in (row.step, row.value):
            _check_text(text)
    if request_id is not None:
        _check_text(request_id)
        if len(request_id) > LONGEST_REQUEST_ID:
            raise Malformed(
                f"A request id has at most {LONGEST_REQUEST_ID} characters; this one has {len(request_id)}."
            )


def _check_text(text: str) -> None:
    if "\0" in text:
        raise Malformed("A text holds a NUL character, which cannot be kept. Type it again without it.")
    try:
        text.encode()
    except UnicodeEncodeError:
        raise Malformed("A text holds half of a character, which cannot be kept. Type it again.") from None
