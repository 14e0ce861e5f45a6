"""Marking a step on a day, and taking a mark back."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.errors import NotEditable, OutOfRange, Unknown
from coach.progress.log import Mark, Row, What
from coach.services.changes import changed_day
from coach.services.situation import EDITABLE_DAYS, is_editable

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import date

    from coach.services.ports import Context
    from coach.services.results import Day, MarkName
    from coach.services.situation import Situation


def mark(
    context: Context, household: str, on: date, step: str, mark: MarkName, request_id: str | None = None
) -> Day:
    """Mark a step on a date; the same mark again changes nothing.

    A step that has not come yet comes by being marked (rules §5.6).

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: There is no such step, or the date never happened.
        NotEditable: The date cannot be changed.
    """
    wanted = Mark(mark)

    def decide(where: Situation) -> list[Row]:
        return [] if where.standing.marks.get(step) is wanted else [Row(on, What(wanted), step)]

    return _marked(context, household, on, step, decide, request_id)


def unmark(context: Context, household: str, on: date, step: str, request_id: str | None = None) -> Day:
    """Take a mark back; without one nothing changes.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: There is no such step, or the date never happened.
        NotEditable: The date cannot be changed.
    """

    def decide(where: Situation) -> list[Row]:
        return [Row(on, What.CLEAR, step)] if step in where.standing.marks else []

    return _marked(context, household, on, step, decide, request_id)


def _marked(
    context: Context,
    household: str,
    on: date,
    step: str,
    decide: Callable[[Situation], list[Row]],
    request_id: str | None,
) -> Day:
    def checked(where: Situation) -> list[Row]:
        if not is_editable(on, where.today, where.standing.started):
            raise NotEditable(
                f"{on} can no longer be changed. Marks can be changed for today, {where.today}, "
                f"and the {EDITABLE_DAYS} days before it."
            )
        if step not in where.standing.steps:
            raise Unknown(f"There is no step “{step}” on {on}.")
        return decide(where)

    try:
        return changed_day(context, household, checked, on, request_id)
    except OutOfRange as error:
        raise NotEditable(f"{error} Marks are for today and the {EDITABLE_DAYS} days before it.") from error
