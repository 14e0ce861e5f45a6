"""One household as the store without a database keeps it, and when what stands in it was written."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Protocol

from coach.progress.log import MARKING

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import date, datetime

    from coach.ground.coaching import Enrolment, Followed, Spell
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
    enrolment: Enrolment | None = None
    followed: Followed | None = None
    spells: tuple[Spell, ...] = ()


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


class Observed(Instants):
    """What stands beside a household's log where many are hosted."""

    home: Home

    def enrolment(self) -> Enrolment | None:
        """What the household is called and lets be seen; None where it is the only one."""
        return self.home.enrolment

    def followed(self) -> Followed | None:
        """How far its days are saved for its coach."""
        return self.home.followed

    def saved_spells(self) -> Sequence[Spell]:
        """Its spells as they are saved, in the order of the dates on which they began."""
        return in_order(self.home.spells)


class Observing(Observed):
    """The same with the right to write."""

    def put_enrolment(self, enrolment: Enrolment) -> None:
        """Keep it in the place of the one before; a household that has started gets its next version."""
        self.home = replace(self.home, enrolment=enrolment)
        if self.home.household is not None:
            self._grow(group=enrolment.group)

    def save_followed(self, followed: Followed, spells: Sequence[Spell]) -> None:
        """Keep these in the place of what was saved; a cache, so the household's version stays."""
        self.home = replace(self.home, followed=followed, spells=tuple(spells))

    def drop_followed(self) -> None:
        """Forget what is saved of its days and spells."""
        self.home = replace(self.home, followed=None, spells=())

    def _grow(self, **changes: object) -> None:
        raise NotImplementedError


def in_order(spells: Sequence[Spell]) -> list[Spell]:
    """Spells in the order of the dates on which they began."""
    return sorted(spells, key=lambda spell: (spell.entered_on, spell.step))
