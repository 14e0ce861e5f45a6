"""Marking a step on a day, and taking a mark back."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeVar

from coach.errors import NotEditable, OutOfRange, Unknown
from coach.ground.situation import EDITABLE_DAYS, is_editable
from coach.ground.writing import Decision, to_log, written
from coach.habits.day import day_view
from coach.progress.log import Mark, Row, What

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import date

    from coach.ground.ports import Context
    from coach.ground.situation import Situation
    from coach.habits.answers import Day, MarkName

R = TypeVar("R")


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
    return marked(context, household, Marking(on, step, mark), day_view, request_id)


def unmark(context: Context, household: str, on: date, step: str, request_id: str | None = None) -> Day:
    """Take a mark back; without one nothing changes.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: There is no such step, or the date never happened.
        NotEditable: The date cannot be changed.
    """
    return marked(context, household, Marking(on, step, None), day_view, request_id)


@dataclass(frozen=True, slots=True)
class Marking:
    """A step's mark on a date; None takes it back."""

    on: date
    step: str
    mark: MarkName | None


def marked(
    context: Context,
    household: str,
    marking: Marking,
    answer: Callable[[Situation], R],
    request_id: str | None = None,
) -> R:
    """Mark a step, or take its mark back, and answer out of the situation on that date.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: There is no such step, or the date never happened.
        NotEditable: The date cannot be changed.
    """

    def decide(where: Situation) -> Decision[None]:
        _check(where, marking)
        return to_log(_rows(where, marking))

    try:
        return written(
            context, household, decide, lambda where, _: answer(where), on=marking.on, request_id=request_id
        )
    except OutOfRange as error:
        raise NotEditable(f"{error} Marks are for today and the {EDITABLE_DAYS} days before it.") from error


def _check(where: Situation, marking: Marking) -> None:
    if not is_editable(marking.on, where.today, where.state.started):
        raise NotEditable(
            f"{marking.on} can no longer be changed. Marks can be changed for today, {where.today}, "
            f"and the {EDITABLE_DAYS} days before it."
        )
    if where.state.known(marking.step) is None:
        raise Unknown(f"There is no step “{marking.step}” on {marking.on}.")


def _rows(where: Situation, marking: Marking) -> list[Row]:
    """The row that makes the mark what it is to be; none if it is that already."""
    step = where.state.present(marking.step)
    wanted, there = marking.mark and Mark(marking.mark), where.opening.marks.get(step)
    if wanted is there:
        return []
    return [Row(marking.on, What(wanted) if wanted else What.CLEAR, step)]
