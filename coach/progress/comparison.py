"""Two logs beside each other: what each holds, what is in both, and what is in one alone."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

from coach.progress.log import MARKING, marks_by_date

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable, Sequence

    from coach.progress.log import Row


@dataclass(frozen=True, slots=True)
class Contents:
    """What a log holds.

    Attributes:
        rows: Its rows.
        days: Dates with a mark.
        marks: Marks that hold.
        steps: Steps with a mark that holds.
        first: The date of its first row.
        last: The date of its last row.
    """

    rows: int
    days: int
    marks: int
    steps: int
    first: dt.date | None
    last: dt.date | None


def contents(rows: Sequence[Row]) -> Contents:
    """What a log holds, given in the order written."""
    marks = {day: held for day, held in marks_by_date(rows).items() if held}
    dates = [row.date for row in rows]
    return Contents(
        rows=len(rows),
        days=len(marks),
        marks=sum(len(held) for held in marks.values()),
        steps=len({step for held in marks.values() for step in held}),
        first=min(dates, default=None),
        last=max(dates, default=None),
    )


@dataclass(frozen=True, slots=True)
class Only:
    """What stands in one of two logs alone.

    Attributes:
        rows: Its rows, each as often as the other log lacks it.
        marks: Those of them that set a mark or take it back.
        days: The dates of these.
    """

    rows: int
    marks: int
    days: tuple[dt.date, ...]


def only(rows: Iterable[Row], others: Iterable[Row]) -> Only:
    """What the first log has and the second has not."""
    left = Counter(rows) - Counter(others)
    marks = {row: count for row, count in left.items() if row.what in MARKING}
    return Only(left.total(), sum(marks.values()), tuple(sorted({row.date for row in marks})))
