"""What would be lost and gained if something took the place of a household's log, before it does."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

from coach.household.answers import Alone, Comparison, Side
from coach.household.kept_log import KIND
from coach.progress.comparison import contents, only

if TYPE_CHECKING:
    from collections.abc import Sequence

    from coach.ground.ports import Reading
    from coach.progress.comparison import Contents, Only
    from coach.progress.log import Row

PlanValues = list[tuple[str, str, str]]


@dataclass(frozen=True, slots=True)
class Holding:
    """A household's log, and its plan if that is compared too.

    Attributes:
        version: The household's version; 0 before its start.
    """

    rows: Sequence[Row] = ()
    plan: PlanValues | None = None
    version: int = 0


def holding(reading: Reading, *, with_plan: bool) -> Holding:
    """What a household holds."""
    home = reading.household()
    # A log that was kept before an import is no plan of the household's.
    plan = [value for value in reading.plan_all() if value[0] != KIND] if with_plan else None
    return Holding(reading.rows(), plan, home.version if home else 0)


def compare(now: Holding, file: Holding) -> Comparison:
    """What is here beside what would take its place."""
    lost, gained = only(now.rows, file.rows), only(file.rows, now.rows)
    return Comparison(
        now=_side(now) if now.version else None,
        file=_side(file),
        same=len(file.rows) - gained.rows,
        lost=_alone(lost, _plan_only(now.plan, file.plan)),
        gained=_alone(gained, _plan_only(file.plan, now.plan)),
        seen=now.version,
    )


def _side(held: Holding) -> Side:
    found: Contents = contents(held.rows)
    plan = None if held.plan is None else len(held.plan)
    return Side(found.rows, found.days, found.marks, found.steps, found.first, found.last, plan)


def _alone(found: Only, plan: int | None) -> Alone:
    days = found.days
    first, last = (days[0], days[-1]) if days else (None, None)
    return Alone(found.rows, found.marks, len(days), first, last, plan)


def _plan_only(plan: PlanValues | None, other: PlanValues | None) -> int | None:
    if plan is None or other is None:
        return None
    return (Counter(plan) - Counter(other)).total()
