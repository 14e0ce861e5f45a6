"""The log's rows on their way to the database and back, a few thousand at a time."""

from __future__ import annotations

from datetime import UTC
from itertools import chain
from typing import TYPE_CHECKING, Any

from coach.progress.log import Row, What

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from datetime import date, datetime

    from sqlalchemy import Result
    from sqlalchemy import Row as SqlRow

MANY = 2_000
"""So many rows go or come at a time, so that a long log takes little memory beside itself."""

_TEXT = frozenset({str})
_KINDS = {kind.value: kind for kind in What}


def latest(found: Result[date, str, str, str]) -> list[Row]:
    """The few rows since a kept standing; they are read with every tap.

    Raises:
        TypeError: A cell is no text.
    """
    rows = found.all()
    _refuse_bytes(rows)
    return [Row(on, _KINDS[what], step, value) for on, what, step, value in rows]


def rows_read(found: Result[date, str, str, str]) -> Iterator[Row]:
    """Rows as they are read; whatever repeats from row to row is held once.

    Raises:
        TypeError: A cell is no text.
    """
    dates: dict[date, date] = {}
    steps: dict[str, str] = {}
    for some in found.partitions(MANY):
        _refuse_bytes(some)
        for on, what, step, value in some:
            yield Row(dates.setdefault(on, on), _KINDS[what], steps.setdefault(step, step), value)


def _refuse_bytes(rows: Sequence[SqlRow[date, str, str, str]]) -> None:
    """SQLite keeps what it is given, and bytes in the place of a text would go on to all who read the row."""
    _, _, steps, values = zip(*rows, strict=True) if rows else ((), (), (), ())
    if not _TEXT.issuperset(map(type, chain(steps, values))):
        raise TypeError("A cell of the log is no text.")


def rows_to_add(
    household_id: str, rows: Sequence[Row], last: int, logged_at: datetime, request_id: str | None
) -> Iterator[list[dict[str, Any]]]:
    """What is inserted for some rows after the last one there is, in parts; the first row has the request."""
    at = logged_at.astimezone(UTC)
    for place in range(0, len(rows), MANY):
        yield [
            {
                "household_id": household_id,
                "seq": seq,
                "date": row.date,
                "what": row.what.value,
                "step": row.step,
                "value": row.value,
                "logged_at": at,
                "request_id": request_id if seq == last + 1 else None,
            }
            for seq, row in enumerate(rows[place : place + MANY], start=last + place + 1)
        ]
