"""The rows of a log that can be folded, and those that cannot: a newer version may have written them."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from coach.errors import Malformed, StoreError
from coach.ground.findings import Finding, LeftRow
from coach.ground.wording import full_date
from coach.progress.csvform import VALUES
from coach.progress.decisions import CHOICES
from coach.progress.log import Row, What
from coach.progress.paces import checked_pace
from coach.progress.replay import begin

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence
    from datetime import date

    from coach.ground.ports import Reading
    from coach.ground.rows import RawRow
    from coach.progress.journal import Journal, Version

UNKNOWN_KIND = "“{what}” is no kind of row that this Steading knows; a newer one may have written it."
UNKNOWN_DATE = "“{date}” is not a date."
SAID = 60
CHECKED = frozenset({*VALUES, What.RESUME})
"""The kinds of row that may say something that cannot be used; marks, which are most of a log, do not."""


def rows_of(
    reading: Reading, zone: str, since: date | None = None, versions: Sequence[Version] = ()
) -> tuple[Sequence[Row], tuple[LeftRow, ...]]:
    """A log's rows that can be used, in the order written, and those that cannot.

    Args:
        reading: Where they are read.
        zone: The household's zone.
        since: The date of the first that are wanted; none: all of them.
        versions: The course as it has been followed, whose paces are all there can be; none: any can be.
    """
    read = reading.log(since)
    paces = dict.fromkeys(name for version in versions for name in version.course.paces)
    rows, left = sifted(read.rows, zone, paces)
    return rows, (*unread_rows(read.unread), *left)


def sifted(
    rows: Sequence[Row], zone: str, paces: Collection[str] = ()
) -> tuple[Sequence[Row], list[LeftRow]]:
    """The rows that can be used, and those that cannot.

    Args:
        rows: In the order written.
        zone: The household's zone: that it is not known is said where the household itself is spoken of.
        paces: Those there are; none: any can be.
    """
    faults = {
        place: fault
        for place, row in enumerate(rows)
        if row.what in CHECKED and (fault := row_fault(row, paces)) is not None
    }
    if not faults:
        return rows, []
    kept = [row for place, row in enumerate(rows) if place not in faults]
    left = [
        LeftRow(said(row.date.isoformat(), row.what, row.step, row.value), why)
        for row, why in ((rows[place], why) for place, why in faults.items())
        if (row.what, row.value) != (What.ZONE, zone)
    ]
    return kept, left


def row_fault(row: Row, paces: Collection[str] = ()) -> str | None:
    """Why a row that is no mark cannot be folded; None if it can."""
    if row.what is What.RESUME and row.value not in CHOICES:
        return f"“{row.value}” cannot be resumed with."
    check = VALUES.get(row.what)
    if check is None:
        return None
    try:
        check(row)
        if paces and row.what is What.PACE:
            checked_pace(row.value, paces)
    except Malformed as error:
        return str(error)
    return None


def unread_rows(rows: Sequence[RawRow]) -> list[LeftRow]:
    """Rows that the store could not make rows of, and why."""
    return [LeftRow(said(*row), raw_fault(row)) for row in rows]


def raw_fault(row: RawRow) -> str:
    """Why the store could not make a row of this one."""
    known = row.what in set(What)
    return UNKNOWN_DATE.format(date=row.date[:SAID]) if known else UNKNOWN_KIND.format(what=row.what[:SAID])


def said(*cells: str) -> str:
    """A row as the log has it, shortened."""
    text = ", ".join(cell for cell in cells if cell)
    return text if len(text) <= SAID else f"{text[:SAID]}…"


def startable(book: Journal, rows: Sequence[Row]) -> tuple[Journal, Finding | None]:
    """The journal with a start that can be folded from, and what was wrong with its own.

    Raises:
        StoreError: The log is empty.
    """
    try:
        begin(book)
    except Malformed as error:
        fault = str(error)
    else:
        return book, None
    dates = [book.start.date] if book.start else [row.date for row in rows]
    if not dates:
        raise StoreError("The household's log is empty, so nothing can be shown. Bring a backup back.")
    text = f"The log's start cannot be used: {fault} It is taken to have started on {full_date(min(dates))}."
    start = Row(min(dates), What.START, value=next(iter(book.course_on(min(dates)).paces), ""))
    return replace(book, start=start), Finding("log", f"{text} The log stays as it is.")
