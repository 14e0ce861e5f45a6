"""One household as the store without a database keeps it, and when what stands in it was written."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Protocol

from coach.ground.plan_rows import PlannedRow
from coach.ground.rows import WrittenRow
from coach.progress.log import MARKING
from coach.store.log_rows import Pen

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from datetime import date, datetime

    from coach.ground.groups import Enrolment
    from coach.ground.plan_rows import Asked, PlanRow
    from coach.ground.ports import CourseVersion, Household
    from coach.ground.rows import SavedStanding, Thinning
    from coach.ground.spells import Followed, Spell
    from coach.progress.log import Row


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
    planned_by: tuple[str, ...] = ()
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

    def written_rows(self: _HasHome) -> Sequence[WrittenRow]:
        """The whole log in the order written, with what is kept beside its rows."""
        written = zip(self.home.rows, self.home.written, strict=True)
        return [WrittenRow(row, pen.at, pen.by, pen.tapped_at, pen.version is None) for row, pen in written]

    def planned_rows(self: _HasHome) -> Sequence[PlannedRow]:
        """The whole history of the plan in the order written, in the same way."""
        rows = zip(self.home.plan, self.home.planned, self.home.planned_by, strict=True)
        return [PlannedRow(row, at, by) for row, at, by in rows]


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


def with_whole(home: Home, log: Sequence[WrittenRow], plan: Sequence[PlannedRow]) -> Home:
    """A home just created with these for its log and plan."""
    made = home.household
    version = None if made is None else made.version
    return replace(
        home,
        rows=tuple(one.row for one in log),
        written=tuple(
            Pen("", one.at, None, one.by, None if one.imported else version, one.tapped_at) for one in log
        ),
        plan=tuple(one.row for one in plan),
        planned=tuple(one.at for one in plan),
        planned_by=tuple(one.by for one in plan),
    )


def stays(on: date, thinning: Thinning | None) -> bool:
    """Whether what is kept through a date is kept on."""
    if thinning is None:
        return True
    return on not in thinning.gone and (on >= thinning.before or on in thinning.only)


def latest_of(saved: Iterable[SavedStanding], before: date, digests: Sequence[str]) -> SavedStanding | None:
    """The latest of one of these digests whose `through` is earlier than a date."""
    fitting = [one for one in saved if one.through < before and one.digest in digests]
    return max(fitting, key=lambda one: one.through, default=None)
