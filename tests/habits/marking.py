"""One line marked, or its mark taken back, as a person does who looks at that day."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.habits.day import day_view
from coach.habits.marks import Marking, marked

if TYPE_CHECKING:
    from datetime import date

    from coach.ground.ports import Context
    from coach.habits.answers import Day, MarkName


def mark(context: Context, household: str, on: date, step: str, mark: MarkName) -> Day:
    """The day after a step was marked on it."""
    return marked(context, household, Marking(on, step, mark), day_view)


def unmark(context: Context, household: str, on: date, step: str) -> Day:
    """The day after a step's mark was taken back on it."""
    return marked(context, household, Marking(on, step, None), day_view)
