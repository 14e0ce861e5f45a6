"""The log's rows on their way to the database and back, a few thousand at a time."""

from __future__ import annotations

from dataclasses import dataclass
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


@dataclass(frozen=True, slots=True)
class Pen:
    """What is written beside every row of one request.

    Attributes:
        household_id: Whose rows they are.
        at: The instant of writing, aware.
        request_id: Names the request; stands on its first row.
        by: The person who writes.
        version: The household's version that the rows make; none for an import.
        tapped_at: When it was tapped, aware, if that was earlier.
    """

    household_id: str
    at: datetime
    request_id: str | None
    by: str = ""
    version: int | None = None
    tapped_at: datetime | None = None


def rows_to_add(pen: Pen, rows: Sequence[Row], last: int) -> Iterator[list[dict[str, Any]]]:
    """What is inserted for some rows after the last one there is, in parts; the first row has the request."""
    beside = {
        "household_id": pen.household_id,
        "logged_at": pen.at.astimezone(UTC),
        "by": pen.by,
        "version": pen.version,
        "tapped_at": pen.tapped_at and pen.tapped_at.astimezone(UTC),
    }
    for place in range(0, len(rows), MANY):
        yield [
            {
                **beside,
                "seq": seq,
                "date": row.date,
                "what": row.what.value,
                "step": row.step,
                "value": row.value,
                "request_id": pen.request_id if seq == last + 1 else None,
            }
            for seq, row in enumerate(rows[place : place + MANY], start=last + place + 1)
        ]
