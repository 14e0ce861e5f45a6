"""What can be had and done when nothing else works: the log as it is kept, and a backup brought back."""

from __future__ import annotations

import csv
import io
import json
from dataclasses import dataclass
from typing import TYPE_CHECKING

from coach.course.shapes import UNREADABLE
from coach.errors import Malformed, StoreError
from coach.ground.findings import Finding, LeftRow, log_finding, value_left_out
from coach.ground.log_rows import raw_fault, row_fault, said
from coach.household.health import health
from coach.household.kept_log import KIND
from coach.household.replacing import required
from coach.progress.csvform import HEADER
from coach.progress.days import iso_date
from coach.progress.log import Row, What

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from pathlib import Path

    from coach.ground.ports import Context, Reading
    from coach.ground.rows import RawRow


NAMED = 50
"""How many findings are named one by one; the rest is counted."""


@dataclass(frozen=True, slots=True)
class BackupLog:
    """What a backup holds of the household's log, looked at without understanding more of it.

    Attributes:
        rows: How many rows.
        first: The earliest date, as it is written; empty without rows.
        last: The latest.
    """

    rows: int
    first: str = ""
    last: str = ""


def log_text(context: Context, household: str) -> str:
    """The log as CSV, straight from the table: no row is looked into, and nothing is folded.

    Of a log that is sound it is what export gives.

    Raises:
        StoreError: The table cannot be read.
    """
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow(HEADER)
    with context.store.reading(household) as reading:
        writer.writerows(reading.raw_log())
    return text.getvalue()


def findings(context: Context, household: str) -> tuple[Finding, ...]:
    """All that is wrong at present: what health finds, and every row and value that cannot be used."""
    found = health(context, household)
    if found.status == "failing":
        return found.findings
    try:
        with context.store.reading(household) as reading:
            rest = (*_of_log(reading), *_of_plan(reading))
    except StoreError as error:
        rest = (Finding("database", str(error)),)
    # The pages say of the log's latest rows what is said of the whole log here.
    before = (one for one in found.findings if one.kind != "log" or not rest)
    return _named(tuple(dict.fromkeys((*before, *rest))))


def _named(found: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """The first of them, and the number of the rest."""
    more = len(found) - NAMED
    return found if more <= 0 else (*found[:NAMED], Finding(found[-1].kind, f"And {more} more."))


def _of_log(reading: Reading) -> Iterator[Finding]:
    left = [LeftRow(said(*row), fault) for row in reading.raw_log() if (fault := _fault(row)) is not None]
    if left:
        yield log_finding(left)


def _fault(row: RawRow) -> str | None:
    """Why a row of the log cannot be used by itself; None if it can."""
    try:
        return row_fault(Row(iso_date(row.date), What(row.what), row.step, row.value))
    except (Malformed, ValueError):
        return raw_fault(row)


def _of_plan(reading: Reading) -> Iterator[Finding]:
    for what, key, value in reading.plan_all():
        if what != KIND and not _is_json(value):
            yield value_left_out(what, key)


def _is_json(value: str) -> bool:
    try:
        json.loads(value)
    except UNREADABLE:
        return False
    return True


def look_into(context: Context, household: str, source: Path, name: str) -> BackupLog:
    """What a backup holds; the file stays as it is, and nothing is changed.

    Args:
        context: Its copies.
        household: Its key.
        source: The backup's file.
        name: What the person calls it.

    Raises:
        Unknown: A server keeps the database.
        Malformed: It is no backup, or is damaged.
        StoreError: It cannot be read now.
    """
    with required(context.copies).opened(source, name) as store, store.reading(household) as theirs:
        rows: Sequence[RawRow] = theirs.raw_log()
    dates = sorted(row.date for row in rows)
    return BackupLog(len(rows), dates[0], dates[-1]) if dates else BackupLog(0)
