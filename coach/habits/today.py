"""The day a household looks at: today's, and those before it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.ground.situation import looking, stamp
from coach.habits.day import day_view

if TYPE_CHECKING:
    from datetime import date

    from coach.ground.ports import Context
    from coach.habits.answers import Day


def today(context: Context, household: str) -> Day:
    """The household's current day.

    It costs one primary-key read while nothing was written since it was last worked out.

    Raises:
        NotStarted: The household has not chosen its first step.
    """
    day: Day = context.memo.get(
        ("today", household), stamp(context, household), lambda: _worked_out(context, household)
    )
    return day


def day(context: Context, household: str, on: date) -> Day:
    """A household day from the start to today; the last seven before today can be edited.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: The date lies before the start, in the future, or never happened.
    """
    return _worked_out(context, household, on)


def _worked_out(context: Context, household: str, on: date | None = None) -> Day:
    with looking(context, household, on) as where:
        return day_view(where)
