"""What the latest of some desk-work days has told, while nothing about them was changed."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

from coach.desk.rules.dues import Told

if TYPE_CHECKING:
    from coach.desk.rules.dues import DeskDays

FURTHEST = 400


def told_before(day: date, desk_days: DeskDays) -> Told | None:
    """What the latest desk-work day before a day has told; None if there was none."""
    before = (day - timedelta(days=back) for back in range(1, FURTHEST))
    latest = next((one for one in before if desk_days(one) == one), None)
    if latest is None:
        return None
    return Told(latest, desk_days(latest + timedelta(days=1)) or date.max)
