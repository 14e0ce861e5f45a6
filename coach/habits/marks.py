"""Marking a step on a day, and taking a mark back."""

from __future__ import annotations

from contextlib import contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeVar

from coach.errors import NotEditable, OutOfRange, Unknown
from coach.ground.situation import EDITABLE_DAYS, is_editable
from coach.ground.wording import full_date
from coach.ground.writing import Decision, written
from coach.habits.answers import MarkedTogether
from coach.habits.day import day_view
from coach.habits.few_lines import forgotten_rows
from coach.habits.parts import parts_view
from coach.progress.log import Mark, Row, What

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence
    from datetime import date

    from coach.ground.ports import Context
    from coach.ground.situation import Situation
    from coach.habits.answers import Day, MarkName
    from coach.habits.notes import SlotName

R = TypeVar("R")


def mark(context: Context, household: str, on: date, step: str, mark: MarkName) -> Day:
    """Mark a step on a date; the same mark again changes nothing.

    A step that has not come yet comes by being marked (rules §5.6).

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: There is no such step, or the date never happened.
        NotEditable: The date cannot be changed.
    """
    return marked(context, household, Marking(on, step, mark), day_view)


def unmark(context: Context, household: str, on: date, step: str) -> Day:
    """Take a mark back; without one nothing changes.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: There is no such step, or the date never happened.
        NotEditable: The date cannot be changed.
    """
    return marked(context, household, Marking(on, step, None), day_view)


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
) -> R:
    """Mark a step, or take its mark back, and answer out of the situation on that date.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: There is no such step, or the date never happened.
        NotEditable: The date cannot be changed.
    """

    def decide(where: Situation) -> Decision[None]:
        _check(where, marking.on, marking.step)
        return _decision(where, _rows(where, marking), None)

    with _only_days_that_are():
        return written(context, household, decide, lambda where, _: answer(where), on=marking.on)


@dataclass(frozen=True, slots=True)
class PartMarking:
    """One mark for every line of a part of a date's list that comes on most days and has none."""

    on: date
    slot: SlotName
    mark: MarkName


@dataclass(frozen=True, slots=True)
class StepsMarking:
    """One mark for several steps on a date, or what it takes to get rid of one.

    Attributes:
        mark: None takes marks back.
        only: Only where this mark stands; none: whatever stands.
    """

    on: date
    steps: tuple[str, ...]
    mark: MarkName | None
    only: MarkName | None = None


def mark_together(
    context: Context,
    household: str,
    marking: PartMarking | StepsMarking,
    answer: Callable[[Situation, tuple[str, ...]], R],
) -> R:
    """Mark several lines of a date at once, or take several marks back, in one transaction.

    Args:
        context: Store, lessons and clock.
        household: Its key.
        marking: Which lines, and what with.
        answer: Given the situation on the date that follows and the steps that changed, the answer.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: There is no such step, or the date never happened.
        NotEditable: The date cannot be changed.
    """

    def decide(where: Situation) -> Decision[tuple[str, ...]]:
        _check(where, marking.on)
        rows = [row for one in _each(where, marking) for row in _rows(where, one)]
        return _decision(where, rows, tuple(row.step for row in rows))

    with _only_days_that_are():
        return written(context, household, decide, answer, on=marking.on)


def together_view(where: Situation, changed: tuple[str, ...]) -> MarkedTogether:
    """What was changed at once, with the day as it now stands."""
    return MarkedTogether(changed, day_view(where))


def _each(where: Situation, marking: PartMarking | StepsMarking) -> Iterator[Marking]:
    if isinstance(marking, PartMarking):
        parts = (part for part in parts_view(where).parts if part.slot == marking.slot)
        steps = [step for part in parts for step in part.together]
        yield from (Marking(marking.on, step, marking.mark) for step in steps)
        return
    for step in dict.fromkeys(marking.steps):
        _check(where, marking.on, step)
        there = where.opening.marks.get(where.state.present(step))
        if marking.only is None or there == marking.only:
            yield Marking(marking.on, step, marking.mark)


def _decision(where: Situation, rows: Sequence[Row], value: R) -> Decision[R]:
    """Marks to be written; what only a few had left out and is marked by hand is that no more."""
    return Decision(value, log=rows, plan=forgotten_rows(where, [row.step for row in rows]))


@contextmanager
def _only_days_that_are() -> Iterator[None]:
    try:
        yield
    except OutOfRange as error:
        raise NotEditable(f"{error} Marks are for today and the {EDITABLE_DAYS} days before it.") from error


def _check(where: Situation, on: date, step: str | None = None) -> None:
    if not is_editable(on, where.today, where.state.started):
        raise NotEditable(
            f"{full_date(on)} can no longer be changed. Marks can be changed for today, "
            f"{full_date(where.today)}, and the {EDITABLE_DAYS} days before it."
        )
    if step is not None and where.state.known(step) is None:
        raise Unknown(f"There is no step “{step}” on {full_date(on)}.")


def _rows(where: Situation, marking: Marking) -> list[Row]:
    """The row that makes the mark what it is to be; none if it is that already."""
    step = where.state.present(marking.step)
    wanted, there = marking.mark and Mark(marking.mark), where.opening.marks.get(step)
    if wanted is there:
        return []
    return [Row(marking.on, What(wanted) if wanted else What.CLEAR, step)]
