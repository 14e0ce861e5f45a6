"""The plan of a home: its areas and how they are worked in, as it holds from a date on (home.md §2)."""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from coach.areas.rules.model import TaskList
from coach.areas.rules.rotation import MOST_MINUTES
from coach.errors import Malformed
from coach.ground.weeks import last_day

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    from coach.areas.rules.model import Area
    from coach.areas.rules.rotation import Rotation

SPOT_MINUTES = 10
MOST_DECLUTTER_WEEKS = 520


class Way(StrEnum):
    """How a household works in its area: the week's list, one short task a day, or both."""

    LIST = "list"
    SPOT = "spot"
    BOTH = "both"


@dataclass(frozen=True, slots=True)
class Declutter:
    """The turns in which declutter lists take the place of the detail lists.

    Attributes:
        first: The number of the first of these turns.
        turns: How many they are. A week that does not count uses none of them up.
    """

    first: int
    turns: int

    def __post_init__(self) -> None:
        """Refuse a number of weeks nobody means."""
        if not 1 <= self.turns <= MOST_DECLUTTER_WEEKS:
            raise Malformed(f"Declutter weeks go from 1 to {MOST_DECLUTTER_WEEKS}, not {self.turns}.")

    def covers(self, number: int) -> bool:
        """Whether a turn is one of them."""
        return self.first <= number < self.first + self.turns


@dataclass(frozen=True, slots=True)
class Plan:
    """What a household has planned for its areas, from a date on until a newer plan.

    A plan holds for the whole week in which it is made, so that a change shows at once.

    Attributes:
        since: The date it was made on.
        areas: In order; as many as the rotation turns over.
        spot_minutes: The most minutes a spot task takes.
    """

    since: date
    areas: tuple[Area, ...]
    rotation: Rotation
    way: Way = Way.LIST
    spot_minutes: int = SPOT_MINUTES
    declutter: Declutter | None = None

    def __post_init__(self) -> None:
        """Refuse a plan whose parts do not fit together."""
        if len(self.areas) != self.rotation.areas:
            raise Malformed(
                f"The rotation is for {self.rotation.areas} areas, and there are {len(self.areas)}."
            )
        if not 1 <= self.spot_minutes <= MOST_MINUTES:
            raise Malformed(f"A spot task takes 1 to {MOST_MINUTES} minutes, not {self.spot_minutes}.")

    def task_list(self, number: int) -> TaskList:
        """Which lists are worked on in a turn."""
        cluttered = self.declutter is not None and self.declutter.covers(number)
        return TaskList.DECLUTTER if cluttered else TaskList.DETAIL

    def offered_minutes(self) -> int:
        """The most minutes a task may take to be offered at all: with spot tasks only, the short ones are."""
        return self.spot_minutes if self.way is Way.SPOT else MOST_MINUTES


def plan_for(plans: Sequence[Plan], first_day: date) -> Plan:
    """The plan that holds for a week: the latest made by its end.

    Args:
        plans: At least one, by the date they were made on; of the same date the later one holds.
        first_day: The first day of the week; before the first plan's week the first one holds.
    """
    made = bisect_right(plans, last_day(first_day), key=lambda plan: plan.since)
    return plans[max(0, made - 1)]
