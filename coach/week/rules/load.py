"""The week's load: the minutes of each date beside the minutes available (home rules)."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from coach.areas.rules.rotation import MOST_MINUTES
from coach.errors import Malformed
from coach.ground.weeks import check_weekdays

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Mapping
    from datetime import date

    from coach.course.model import Step


@dataclass(frozen=True, slots=True)
class DayLoad:
    """What one date holds.

    Attributes:
        steps: The steps due on it, in their order.
        area_minutes: Minutes of the week's area that fall on it.
        available: Minutes the household has, or None where it has not said.
    """

    date: date
    steps: tuple[Step, ...]
    area_minutes: int
    available: int | None

    @property
    def minutes(self) -> int:
        """Minutes of the steps due and of the area together."""
        return sum(step.minutes for step in self.steps) + self.area_minutes

    @property
    def overload(self) -> int:
        """Minutes beyond those available; none where the household has not said how many it has."""
        return overload(self.minutes, self.available)


def overload(minutes: int, available: int | None) -> int:
    """The minutes beyond those available; where the household has not said there is no limit."""
    return 0 if available is None else max(0, minutes - available)


def check_available(available: Mapping[int, int]) -> None:
    """Refuse minutes available by weekday (Monday 0) that cannot be meant so; a weekday may be left out.

    Raises:
        Malformed: A weekday or a number of minutes is out of range.
    """
    check_weekdays(available)
    for minutes in available.values():
        if not 0 <= minutes <= MOST_MINUTES:
            raise Malformed(f"A day has 0 to {MOST_MINUTES} minutes available, not {minutes}.")


def day_load(
    day: date, steps: Iterable[Step], area: Mapping[date, int], available: Mapping[int, int]
) -> DayLoad:
    """The load of one date.

    Args:
        day: The date.
        steps: The steps due on it.
        area: The area's minutes by date.
        available: Minutes available by weekday, Monday 0.
    """
    return DayLoad(day, tuple(steps), area.get(day, 0), available.get(day.weekday()))


def can_wait(load: DayLoad, movable: Collection[str]) -> tuple[Step, ...]:
    """The steps of an overloaded day that may be done on another day, the longest first."""
    if not load.overload:
        return ()
    return tuple(sorted((step for step in load.steps if step.id in movable), key=lambda step: -step.minutes))
