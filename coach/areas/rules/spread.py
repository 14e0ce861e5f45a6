"""The area's minutes spread over the days of a week on which area work is done (home.md §3)."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.areas.rules.rotation import shares
from coach.ground.weeks import check_weekdays, days_of

if TYPE_CHECKING:
    from collections.abc import Collection
    from datetime import date


def spread(week: date, minutes: int, weekdays: Collection[int]) -> dict[date, int]:
    """The area's minutes on the dates of a week, evenly over the chosen weekdays.

    They are split in whole minutes, as those of a shared week are, what is left over going to the first day.

    Args:
        week: The week's first day.
        minutes: Minutes of the week's area or areas together.
        weekdays: The chosen area days, Monday 0. With none chosen no date is given any.

    Raises:
        Malformed: A weekday is none.
    """
    check_weekdays(weekdays)
    chosen = [day for day in days_of(week) if day.weekday() in weekdays]
    return dict(zip(chosen, shares(minutes, len(chosen)), strict=True)) if chosen else {}
