"""One household as the store without a database keeps it, and when what stands in it was written."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Protocol

from coach.progress.log import MARKING

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import date, datetime

    from coach.ground.ports import Asked, CourseVersion, Household, PlanRow
    from coach.ground.rows import SavedStanding
    from coach.progress.log import Row
    from coach.store.log_rows import Pen


@dataclass(frozen=True, slots=True)
class Home:
    """What is kept of one household; replaced as a whole when a transaction ends."""

    household: Household | None = None
    rows: tuple[Row, ...] = ()
    written: tuple[Pen, ...] = ()
    requests: frozenset[str] = frozenset()
    courses: dict[date, CourseVersion] = field(default_factory=dict)
    contents: dict[str, str] = field(default_factory=dict)
    standings: dict[date, SavedStanding] = field(default_factory=dict)
    plan: tuple[PlanRow, ...] = ()
    planned: tuple[datetime, ...] = ()
    plan_requests: frozenset[str] = frozenset()
    plan_states: dict[tuple[str, date], SavedStanding] = field(default_factory=dict)


class _HasHome(Protocol):
    home: Home


class Instants:
    """When what stands in a household was written."""

    def decided_at(self: _HasHome) -> Mapping[str, datetime]:
        """For each step when a row that marks nothing was last written about it; under "" about none."""
        found: dict[str, datetime] = {}
        for row, pen in zip(self.home.rows, self.home.written, strict=True):
            if row.what not in MARKING:
                found[row.step] = max(pen.at, found.get(row.step, pen.at))
        return found

    def planned_at(self: _HasHome, asked: Sequence[Asked]) -> Sequence[Mapping[str, datetime]]:
        """For everything asked for the instants at which what holds now was written, by key."""
        rows = zip(self.home.plan, self.home.planned, strict=True)
        last = {(row.what, row.key): at if row.value else None for row, at in rows}
        return [
            {key: at for (what, key), at in last.items() if what == one.what and at and one.holds(key)}
            for one in asked
        ]
