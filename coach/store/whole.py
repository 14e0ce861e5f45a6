"""A household's log and plan with everything that is kept beside their rows, out of the tables and in."""

from __future__ import annotations

from datetime import UTC
from typing import TYPE_CHECKING, Any

from sqlalchemy import Text, bindparam, delete, select
from sqlmodel import col

from coach.course.shapes import UNREADABLE
from coach.errors import StoreError
from coach.ground.plan_rows import PlannedRow, PlanRow
from coach.ground.rows import WrittenRow
from coach.progress.log import Row, What
from coach.store import statements
from coach.store.instants import aware
from coach.store.limits import check_plan, check_rows
from coach.store.log_rows import MANY
from coach.store.tables import LogTable, PlanLogTable, PlanValueTable

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence
    from datetime import datetime

    from sqlalchemy import Connection, Executable

UNREADABLE_ROWS = (
    "Some rows of this household cannot be read, so that they cannot be handed over as they are. "
    "Download the log as CSV, which leaves them out, or bring a backup back."
)

_HOUSEHOLD = bindparam("household", type_=Text())
_logged = col(LogTable.household_id) == _HOUSEHOLD
_planned = col(PlanLogTable.household_id) == _HOUSEHOLD
_LOG = (
    select(
        col(LogTable.date),
        col(LogTable.what),
        col(LogTable.step),
        col(LogTable.value),
        col(LogTable.logged_at),
        col(LogTable.by),
        col(LogTable.tapped_at),
        col(LogTable.version),
    )
    .where(_logged)
    .order_by(col(LogTable.seq))
)
_PLAN = (
    select(
        col(PlanLogTable.date),
        col(PlanLogTable.what),
        col(PlanLogTable.key),
        col(PlanLogTable.value),
        col(PlanLogTable.logged_at),
        col(PlanLogTable.by),
    )
    .where(_planned)
    .order_by(col(PlanLogTable.seq))
)
_CLEAR_PLAN = (
    delete(PlanValueTable).where(col(PlanValueTable.household_id) == _HOUSEHOLD),
    delete(PlanLogTable).where(_planned),
)


def written_rows(connection: Connection, household: str) -> list[WrittenRow]:
    """The whole log in the order written.

    Raises:
        StoreError: A row cannot be read.
    """
    try:
        return [_written(row) for row in connection.execute(_LOG, {"household": household})]
    except UNREADABLE as error:
        raise StoreError(UNREADABLE_ROWS) from error


def _written(row: Any) -> WrittenRow:  # noqa: ANN401  a row of the statement above
    on, what, step, value, at, by, tapped_at, version = row
    _refuse_bytes(step, value, by)
    tapped = None if tapped_at is None else aware(tapped_at)
    return WrittenRow(Row(on, What(what), step, value), aware(at), by, tapped, version is None)


def planned_rows(connection: Connection, household: str) -> list[PlannedRow]:
    """The whole history of the plan in the order written.

    Raises:
        StoreError: A row cannot be read.
    """
    try:
        return [_planned_row(row) for row in connection.execute(_PLAN, {"household": household})]
    except UNREADABLE as error:
        raise StoreError(UNREADABLE_ROWS) from error


def _planned_row(row: Any) -> PlannedRow:  # noqa: ANN401  a row of the statement above
    on, what, key, value, at, by = row
    _refuse_bytes(what, key, value, by)
    return PlannedRow(PlanRow(on, what, key, value), aware(at), by)


def _refuse_bytes(*cells: object) -> None:
    """SQLite keeps what it is given, and bytes in the place of a text would go on to all who read the row."""
    if not all(isinstance(cell, str) for cell in cells):
        raise TypeError("A cell is no text.")


def check_whole(log: Sequence[WrittenRow], plan: Sequence[PlannedRow]) -> None:
    """Refuse rows that some database could not hold.

    Raises:
        Malformed: A text cannot be kept.
    """
    for one in log:
        check_rows([one.row], one.at, None)
    for planned in plan:
        check_plan([planned.row], planned.at, None)


def replace_whole(
    connection: Connection,
    household: str,
    version: int,
    log: Sequence[WrittenRow],
    plan: Sequence[PlannedRow],
) -> None:
    """Put these in the place of the household's log and plan; nothing refers to a version before this one."""
    for statement in (*statements.CLEAR_LOG, *_CLEAR_PLAN):
        connection.execute(statement, {"household": household})
    _add(connection, statements.ADD_ROWS, _log_values(household, version, log))
    planned = list(_plan_values(household, plan))
    _add(connection, statements.ADD_PLAN_ROWS, planned)
    last = {(row["what"], row["key"]): row for row in planned}
    names = ("household_id", "what", "key", "value", "seq")
    holding = ({name: row[name] for name in names} for row in last.values() if row["value"])
    _add(connection, statements.ADD_PLAN_VALUES, holding)


def _add(connection: Connection, statement: Executable, values: Iterable[dict[str, Any]]) -> None:
    some = list(values)
    for place in range(0, len(some), MANY):
        connection.execute(statement, some[place : place + MANY])


def _log_values(household: str, version: int, log: Sequence[WrittenRow]) -> Iterator[dict[str, Any]]:
    for seq, one in enumerate(log, start=1):
        yield {
            "household_id": household,
            "seq": seq,
            "date": one.row.date,
            "what": one.row.what.value,
            "step": one.row.step,
            "value": one.row.value,
            "logged_at": one.at.astimezone(UTC),
            "request_id": None,
            "by": one.by,
            "version": None if one.imported else version,
            "tapped_at": _utc(one.tapped_at),
        }


def _utc(at: datetime | None) -> datetime | None:
    return None if at is None else at.astimezone(UTC)


def _plan_values(household: str, plan: Sequence[PlannedRow]) -> Iterator[dict[str, Any]]:
    for seq, one in enumerate(plan, start=1):
        yield {
            "household_id": household,
            "seq": seq,
            "date": one.row.date,
            "what": one.row.what,
            "key": one.row.key,
            "value": one.row.value,
            "logged_at": one.at.astimezone(UTC),
            "request_id": None,
            "by": one.by,
        }
