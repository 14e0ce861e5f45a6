"""Rows that cannot be understood: a log as the text it is, and a household's own row that cannot be used."""

from __future__ import annotations

from contextlib import contextmanager
from datetime import time
from typing import TYPE_CHECKING

from coach.course.shapes import UNREADABLE, required, shape
from coach.errors import Malformed, StoreError
from coach.ground.ports import Household
from coach.ground.rows import ReadRows
from coach.ground.weeks import WeekStart
from coach.progress.days import iso_date
from coach.progress.log import Row, What
from coach.store.failures import capitalised, database_name

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from datetime import date

    from sqlalchemy import Connection

    from coach.ground.rows import RawRow

ILLEGIBLE = (
    "{name} has a row about this household that cannot be read, so nothing can be shown or changed. "
    "Bring a backup back: the page Rescue and `coach restore` do that, and Rescue still gives the log."
)


_HOUSEHOLD = shape([str, str, time, int, str, int, str])


def as_text(cell: object) -> str:
    """A cell as text; what are bytes is shown as far as they are UTF-8."""
    if isinstance(cell, bytes):
        return cell.decode(errors="replace")
    return "" if cell is None else str(cell)


def read_raw(raw: Sequence[RawRow], since: date | None) -> ReadRows:
    """The rows of a raw log from a date on, and those that are none; of these, all that have no date."""
    rows, unread = [], []
    for one in raw:
        try:
            on = iso_date(one.date)
        except Malformed:
            unread.append(one)
            continue
        if since is not None and on < since:
            continue
        if one.what in _KINDS:
            rows.append(Row(on, _KINDS[one.what], one.step, one.value))
        else:
            unread.append(one)
    return ReadRows(rows, unread)


def household_of(household_id: str, *columns: object) -> Household:
    """A household's own row out of its columns, in the order of `Household`.

    Raises:
        TypeError: One of them is not what it should be; ValueError for a day on which no week begins.
    """
    required(list(columns), _HOUSEHOLD)
    course, zone, day_starts, version, week_starts, members, group = columns
    starts = WeekStart(week_starts).value  # type: ignore[arg-type]  # seen just now
    return Household(household_id, course, zone, day_starts, version, starts, members, group)  # type: ignore[arg-type]  # the same


_KINDS = {kind.value: kind for kind in What}


@contextmanager
def understood(connection: Connection) -> Iterator[None]:
    """Say in a sentence that a household's own row cannot be understood.

    Raises:
        StoreError: It cannot.
    """
    try:
        yield
    except UNREADABLE as error:
        name = database_name(connection.engine.url)
        raise StoreError(capitalised(ILLEGIBLE.format(name=name))) from error
