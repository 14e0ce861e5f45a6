"""Households in rows by the week in which they started, with their phases week by week since."""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING

from coach.ground.weeks import WeekStart, week_of
from coach.progress.opening import Phase

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping
    from datetime import date

    from coach.ground.coaching import Followed

PHASES = tuple(phase.value for phase in Phase)


@dataclass(frozen=True, slots=True)
class WeekCell:
    """The households of a row by their phase at the end of one of their weeks.

    Attributes:
        phases: How many were in each phase, for all phases there are.
        households: How many have come so far.
        unfinished: Whether others of the row have not, so that the cell is not to be held against a full one.
    """

    phases: Mapping[str, int]
    households: int
    unfinished: bool


@dataclass(frozen=True, slots=True)
class WeekRow:
    """The households that started in one week, Monday to Sunday.

    Attributes:
        monday: The first day of that week.
        households: How many they are.
        cells: For each week since the start, the first first, up to the longest household's.
    """

    monday: date
    households: int
    cells: tuple[WeekCell, ...]


def week_rows(households: Iterable[Followed]) -> list[WeekRow]:
    """Households by the week of their start, the earliest first, each with its weeks since."""
    found: defaultdict[date, list[tuple[str, ...]]] = defaultdict(list)
    for one in households:
        found[week_of(one.started_on, WeekStart.MONDAY)].append(one.weeks)
    return [_row(monday, found[monday]) for monday in sorted(found)]


def _row(monday: date, households: list[tuple[str, ...]]) -> WeekRow:
    longest = max(map(len, households))
    cells = tuple(_cell(households, week) for week in range(longest))
    return WeekRow(monday, len(households), cells)


def _cell(households: list[tuple[str, ...]], week: int) -> WeekCell:
    come = Counter(weeks[week] for weeks in households if len(weeks) > week)
    phases = {phase: come[phase] for phase in PHASES}
    return WeekCell(phases, come.total(), come.total() < len(households))
