"""What may be told of households by the week of their start: in which phase they were at the end of a week.

Numbers are hidden as in tables of steps. A row is the same households week after week, so every week of it
that is told is held against every other, and against all that was told of the row before.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, NamedTuple

from coach.coaching.rules.audit import is_few
from coach.coaching.rules.hiding import enough_hidden

if TYPE_CHECKING:
    from collections.abc import Collection, Hashable, Mapping, Sequence

PHASES = ("ramping", "steady", "lapsed", "rebuilding", "paused")
"""Where a household can stand at the end of a week, in the order in which tables have it."""

SELDOM = frozenset({"lapsed", "rebuilding", "paused"})


class WeekTold(NamedTuple):
    """What is told of a row's households at the end of one of their weeks.

    Attributes:
        phases: How many were in each phase that is told.
        rest: How many were in one of the others.
    """

    phases: Mapping[str, int]
    rest: int

    @property
    def households(self) -> int:
        """How many have come so far."""
        return self.rest + sum(self.phases.values())

    @property
    def key(self) -> Hashable:
        """The same for two weeks of which the same is told."""
        return frozenset(self.phases.items()), self.rest


@dataclass(frozen=True, slots=True)
class RowTold:
    """What is told of the households that started in one week.

    Attributes:
        households: How many they are.
        weeks: What is told of each week since, by its number from 1.
    """

    households: int
    weeks: Mapping[int, WeekTold]

    def to_json(self) -> dict[str, Any]:
        """As it is kept."""
        weeks = {str(week): [dict(told.phases), told.rest] for week, told in self.weeks.items()}
        return {"households": self.households, "weeks": weeks}


def row_told_of(kept: Mapping[str, Any]) -> RowTold:
    """What was told of a row, as it was kept."""
    weeks = {int(week): WeekTold(*told) for week, told in kept["weeks"].items()}
    return RowTold(kept["households"], weeks)


Exact = dict[int, dict[str, int]]
"""How many were in each phase, by the number of the week."""


def row_telling(households: int, exact: Exact, earlier: Sequence[RowTold]) -> RowTold | None:
    """What may be told of a row beside all that was told of it before; None: nothing.

    Args:
        households: How many started that week.
        exact: Their phases at the ends of the weeks that are over.
        earlier: What was told of them before, the oldest first.
    """
    if is_few(households) or not households:
        return None
    if any(is_few(households - row.households) for row in earlier):
        return _filled(households, exact, earlier[-1])
    # The same weeks were mostly told alike, Sunday after Sunday.
    beside = {told.key: told for row in earlier for told in row.weeks.values()}
    weeks: dict[int, WeekTold] = {}
    for week, phases in sorted(exact.items()):
        come = sum(phases.values())
        if not come or is_few(come) or is_few(households - come):
            continue
        told = _week(phases, beside.values())
        if told is not None:
            weeks[week] = beside[told.key] = told
    return RowTold(households, weeks)


def rows_hidden(rows: Mapping[str, int]) -> frozenset[str]:
    """The rows of which nothing is told, so that no row of few is what is left of all households."""
    return enough_hidden(rows, frozenset()) if not is_few(sum(rows.values())) else frozenset(rows)


def _week(phases: Mapping[str, int], beside: Collection[WeekTold]) -> WeekTold | None:
    for least in (frozenset[str](), SELDOM):
        hidden = enough_hidden(phases, least)
        told = WeekTold(
            {phase: number for phase, number in phases.items() if phase not in hidden},
            sum(phases[phase] for phase in hidden),
        )
        if not any(_tell_few(told, other) for other in beside):
            return told
    return None


def _tell_few(one: WeekTold, other: WeekTold) -> bool:
    """Whether two weeks differ by few in anything that both tell."""
    households = apart = one.households - other.households
    for phase, number in one.phases.items():
        if phase in other.phases:
            differ = number - other.phases[phase]
            if is_few(differ):
                return True
            apart -= differ
    # What is left is in phases of which one of the two tells no number.
    return is_few(apart) or is_few(households)


def _filled(households: int, exact: Exact, before: RowTold) -> RowTold | None:
    """What was told before, if those who are counted now still come to it."""
    if households < before.households:
        return None
    for week, told in before.weeks.items():
        now = exact.get(week, {})
        if sum(now.values()) < told.households:
            return None
        if any(now.get(phase, 0) < number for phase, number in told.phases.items()):
            return None
    return before
