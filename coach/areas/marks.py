"""Marking a task of an area done on a date, and taking that back."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.areas.changes import put
from coach.areas.overview import this_week_in
from coach.areas.passes import DONE
from coach.areas.plans import kept
from coach.areas.rules.model import place_of
from coach.areas.wording import NOT_SET_UP
from coach.errors import NotEditable, Unknown
from coach.ground.ports import PlanRow
from coach.ground.situation import EDITABLE_DAYS, is_editable
from coach.ground.writing import Decision, to_plan

if TYPE_CHECKING:
    from datetime import date

    from coach.areas.answers import AreaWeekView
    from coach.ground.ports import Context
    from coach.ground.situation import Situation


def mark_task(
    context: Context, household: str, on: date, task: str, request_id: str | None = None
) -> AreaWeekView:
    """Mark a task done on a date; the same mark again changes nothing.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: The areas are not set up, or they have no such task.
        NotEditable: The date cannot be changed.
    """
    return _marked(context, household, on, task, "true", request_id)


def unmark_task(
    context: Context, household: str, on: date, task: str, request_id: str | None = None
) -> AreaWeekView:
    """Take that back; without a mark nothing changes.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: The areas are not set up, or they have no such task.
        NotEditable: The date cannot be changed.
    """
    return _marked(context, household, on, task, "", request_id)


def _marked(
    context: Context, household: str, on: date, task: str, value: str, request_id: str | None
) -> AreaWeekView:
    key = f"{on}/{task}"

    def decide(where: Situation) -> Decision[None]:
        _check(where, on, task)
        held = "true" if where.value(DONE, key) else ""
        # Dated on the day it is about, so that kept passes through that day are thrown away.
        return to_plan([] if held == value else [PlanRow(on, DONE, key, value)])

    return put(context, household, decide, this_week_in, request_id)


def _check(where: Situation, on: date, task: str) -> None:
    held = kept(where).plan
    if held is None:
        raise Unknown(NOT_SET_UP)
    place_of(held.areas, task)
    if not is_editable(on, where.today, where.standing.started):
        raise NotEditable(
            f"{on} cannot be changed. Tasks can be marked for today, {where.today}, and the {EDITABLE_DAYS} "
            "days before it."
        )
