"""The plan in a database: rows as they were written, what holds of them now, and saved folds."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING, Any

from coach.course.shapes import UNREADABLE
from coach.ground.plan_rows import PlanRow
from coach.ground.rows import SavedStanding
from coach.store import statements
from coach.store.instants import aware

if TYPE_CHECKING:
    from collections.abc import Sequence

    from sqlalchemy import Connection
    from sqlalchemy.sql import Executable

    from coach.ground.plan_rows import Asked
    from coach.ground.rows import Thinning


@dataclass(frozen=True, slots=True)
class PlanTables:
    """One household's plan inside one transaction.

    Attributes:
        connection: With the transaction that the household's reading or writing began.
        household_id: Whose plan it is.
    """

    connection: Connection
    household_id: str

    def parts(self, asked: Sequence[Asked]) -> list[list[tuple[str, str]]]:
        """For each part asked for, its keys with their values in the order of their code points."""
        if not asked:
            return []
        found: list[list[tuple[str, str]]] = [[] for _ in asked]
        statement = statements.plan_parts(tuple(one.last is not None for one in asked))
        for number, key, value in self._run(statement, **_bounds(asked)).all():
            found[number].append((key, value))
        for part in found:
            part.sort()
        return found

    def instants(self, asked: Sequence[Asked]) -> list[dict[str, datetime]]:
        """For each part asked for, by key when it was written; those that cannot be read are left out."""
        found: list[dict[str, datetime]] = [{} for _ in asked]
        statement = statements.plan_instants(tuple(one.last is not None for one in asked))
        try:
            for number, key, at in self._run(statement, **_bounds(asked)).all():
                found[number][key] = aware(at)
        except UNREADABLE:
            return [{} for _ in asked]
        return found

    def all(self) -> list[tuple[str, str, str]]:
        """The same of every kind, with the kind."""
        found = self._run(statements.PLAN_ALL)
        return [(what, key, value) for what, key, value in found]

    def history(self, what: str, key: str, most: int) -> list[PlanRow]:
        """The latest rows of one key, the newest first."""
        found = self._run(statements.PLAN_HISTORY, kind=what, about=key, most=most)
        return [PlanRow(*row) for row in found]

    def add(self, rows: Sequence[PlanRow], logged_at: datetime, request_id: str | None, by: str = "") -> bool:
        """Append rows, at least one, and let the last of each key hold; False if the request has done so."""
        after, seen, folded = self._run(statements.PLAN_TAIL, request=request_id).one()
        if seen is not None:
            return False
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
                "by": by,
            }
            for seq, row in enumerate(rows, start=after + 1)
        ]
        self.connection.execute(statements.ADD_PLAN_ROWS, written)
        self._let_hold(written)
        first = min(row.date for row in rows)
        if folded is not None and folded >= first.isoformat():
            self.drop_from(first)
        return True

    def saved(self, name: str, before: date, digest: str) -> SavedStanding | None:
        """The latest saved fold of that name and digest whose `through` is earlier than `before`."""
        asked = {"fold": name, "before": before, "fold_digest": digest}
        try:
            found = self._run(statements.PLAN_STATE, **asked).one_or_none()
        except UNREADABLE:
            return None
        return None if found is None else SavedStanding(*found)

    def save(self, name: str, saved: SavedStanding, thinning: Thinning | None) -> None:
        """Keep a fold in the place of one of the same name and date; old ones are thinned out."""
        self._run(statements.DROP_PLAN_STATE, fold=name, on=saved.through, **thinned(thinning))
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


def _bounds(asked: Sequence[Asked]) -> dict[str, str]:
    """What a statement of parts of the plan is run with."""
    values: dict[str, str] = {}
    for number, one in enumerate(asked):
        values |= {f"kind_{number}": one.what, f"first_{number}": one.first}
        if one.last is not None:
            values[f"last_{number}"] = one.last
    return values


def thinned(thinning: Thinning | None) -> dict[str, date | list[date]]:
    """What the statements that thin folds out are run with; without a thinning nothing is that old."""
    if thinning is None:
        return {"old": date.min, "spaced": []}
    return {"old": thinning.before, "spaced": sorted(thinning.only)}
