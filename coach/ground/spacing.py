"""How far apart folds are kept: a week while they are recent, four weeks for a year, and then a year."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from coach.ground.rows import Thinning

if TYPE_CHECKING:
    from datetime import date

WEEK = timedelta(days=7)
BEFORE_EDITS = timedelta(days=8)
"""So many days back, no mark and no row can change a standing any more."""

WEEKLY = 8
"""Of the latest so many weeks every one is kept: people page back to them."""

MONTHLY, A_MONTH = 52, 4
"""Of so many weeks every fourth one is kept."""

A_YEAR = 52
"""Of all weeks every so manieth is kept: a look at an old day folds that many weeks at most."""


def spaced(first: date, today: date) -> list[date]:
    """The dates, whole weeks after the first, through which a fold is kept for good or for a while.

    What is kept on a day was kept on every day before it, so that nothing has to be folded to thin out.

    Args:
        first: Where the weeks are counted from.
        today: The current date; no later day is kept than one that nothing can change any more.
    """
    latest = (today - BEFORE_EDITS - first) // WEEK
    weeks = {
        *range(max(0, latest - WEEKLY + 1), latest + 1),
        *range(-(-max(0, latest - MONTHLY + 1) // A_MONTH) * A_MONTH, latest + 1, A_MONTH),
        *range(0, latest + 1, A_YEAR),
    }
    return [first + week * WEEK for week in sorted(weeks)]


def thinning(first: date, today: date) -> Thinning:
    """What of the folds kept so far stays: those of days that can still be edited, and the spaced ones."""
    return Thinning(today - BEFORE_EDITS, frozenset(spaced(first, today)))
