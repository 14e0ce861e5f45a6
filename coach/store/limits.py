"""What every store takes: text that both databases can hold, and what an index holds of a bounded length."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.errors import Malformed

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from coach.ground.plan_rows import PlanRow
    from coach.progress.log import Row

LONGEST_REQUEST_ID = 200
"""Characters; an index of PostgreSQL takes no more than about 2,700 bytes."""

LONGEST_KEY = 200
"""Characters of a key of the plan, and of its kind."""


def check_rows(rows: Sequence[Row], logged_at: datetime, request_id: str | None) -> None:
    """Refuse rows that some database could not hold.

    Raises:
        Malformed: A text has a NUL character or half of a character, or the request id is too long.
        ValueError: The instant has no zone, which is a fault of our own.
    """
    _check_request(logged_at, request_id)
    for row in rows:
        for text in (row.step, row.value):
            _check_text(text)


def check_plan(rows: Sequence[PlanRow], logged_at: datetime, request_id: str | None) -> None:
    """Refuse rows of the plan that some database could not hold.

    Raises:
        Malformed: A text has a NUL character or half of a character, or a key or the request id is too long.
        ValueError: The instant has no zone, which is a fault of our own.
    """
    _check_request(logged_at, request_id)
    for row in rows:
        _check_length(row.what, LONGEST_KEY, "A kind of the plan")
        _check_length(row.key, LONGEST_KEY, "A key of the plan")
        for text in (row.what, row.key, row.value):
            _check_text(text)


def _check_request(logged_at: datetime, request_id: str | None) -> None:
    if logged_at.utcoffset() is None:
        raise ValueError("An instant of writing needs a zone.")
    if request_id is not None:
        _check_text(request_id)
        _check_length(request_id, LONGEST_REQUEST_ID, "A request id")


def _check_length(text: str, longest: int, name: str) -> None:
    if len(text) > longest:
        raise Malformed(f"{name} has at most {longest} characters; this one has {len(text)}.")


def _check_text(text: str) -> None:
    if "\0" in text:
        raise Malformed("A text holds a NUL character, which cannot be kept. Type it again without it.")
    try:
        text.encode()
    except UnicodeEncodeError:
        raise Malformed("A text holds half of a character, which cannot be kept. Type it again.") from None
