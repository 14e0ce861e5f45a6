"""The plan in a database: rows as they were written, what holds of them now, and saved folds."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING, Any

from coach.services.ports import PlanRow, SavedStanding
from coach.store import statements

if TYPE_CHECKING:
    from collections.abc import Sequence

    from sqlalchemy import Connection
    from sqlalchemy.sql import Executable


@dataclass(frozen=True, slots=True)
class PlanTables:
    """One household's plan inside one transaction.

    Attributes:
        connection: With the transaction that the household's reading or writing began.
        household_id: Whose plan it is.
    """

    connection: Connection
    household_id: str

    def holding(self, what: str, first: str | None, last: str | None) -> list[tuple[str, str]]:
        """Keys of one kind with their values, within the bounds, in the order of their code points."""
        # No key comes before the empty one.
        bounds = {"kind": what, "first": first or ""}
        if last is None:
            found = self._run(statements.PLAN, **bounds)
        else:
            found = self._run(statements.PLAN_THROUGH, **bounds, last=last)
        return [(key, value) for key, value in found]

    def many(self, whats: Sequence[str]) -> dict[str, list[tuple[str, str]]]:
        """The same of several kinds, without bounds."""
        held: dict[str, list[tuple[str, str]]] = {what: [] for what in whats}
        for what, key, value in self._run(statements.PLAN_MANY, kinds=list(held)):
            held[what].append((key, value))
        return held

    def history(self, what: str, key: str, most: int) -> list[PlanRow]:
        """The latest rows of one key, the newest first."""
        found = self._run(statements.PLAN_HISTORY, kind=what, about=key, most=most)
        return [PlanRow(*row) for row in found]

    def knows(self, request_id: str) -> bool:
        """Whether a request of that id has written rows."""
        return self._run(statements.PLAN_REQUEST, request=request_id).first() is not None

    def add(self, rows: Sequence[PlanRow], logged_at: datetime, request_id: str | None) -> None:
        """Append rows, at least one, and let the last of each key hold."""
        after = self._run(statements.LAST_PLAN_SEQ).scalar_one()
        written = [
            {
                "household_id": self.household_id,
                "seq": seq,
                "date": row.date,
                "what": row.what,
                "key": row.key,
                "value": row.value,
                "logged_at": logged_at.astimezone(UTC),
                "request_id": request_id if seq == after + 1 else None,
            }
            for seq, row in enumerate(rows, start=after + 1)
        ]
        self.connection.execute(statements.ADD_PLAN_ROWS, written)
        self._let_hold(written)
        self.drop_from(min(row.date for row in rows))

    def saved(self, name: str, before: date, digest: str) -> SavedStanding | None:
        """The latest saved fold of that name and digest whose `through` is earlier than `before`."""
        asked = {"fold": name, "before": before, "fold_digest": digest}
        found = self._run(statements.PLAN_STATE, **asked).one_or_none()
        return None if found is None else SavedStanding(*found)

    def save(self, name: str, saved: SavedStanding) -> None:
        """Keep a fold; one of the same name and date is replaced."""
        self._run(statements.DROP_PLAN_STATE, fold=name, on=saved.through)
        values = {"name": name, "through": saved.through, "digest": saved.digest, "state": saved.state}
        self.connection.execute(statements.ADD_PLAN_STATE, {"household_id": self.household_id, **values})

    def drop_from(self, on: date) -> None:
        """Throw away the saved folds that fold this date."""
        self._run(statements.DROP_PLAN_STATES_FROM, on=on)

    def _let_hold(self, written: list[dict[str, Any]]) -> None:
        last = {(row["what"], row["key"]): row for row in written}
        old = [{"household": self.household_id, "kind": what, "about": key} for what, key in last]
        self.connection.execute(statements.DROP_PLAN_VALUES, old)
        columns = ("household_id", "what", "key", "value", "seq")
        new = [{name: row[name] for name in columns} for row in last.values() if row["value"]]
        if new:
            self.connection.execute(statements.ADD_PLAN_VALUES, new)

    def _run(self, statement: Executable, **values: object) -> Any:  # noqa: ANN401  rows of any shape
        return self.connection.execute(statement, {"household": self.household_id, **values})
