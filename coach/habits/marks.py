"""Marking a step on a day, and taking a mark back."""

from __future__ import annotations

from contextlib import contextmanager
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, TypeVar

from coach.errors import NotEditable, OutOfRange, Unknown
from coach.ground.situation import EDITABLE_DAYS, is_editable
from coach.ground.wording import full_date
from coach.ground.writing import Decision, written
from coach.habits.answers import MarkedTogether
from coach.habits.day import day_view
from coach.habits.few_lines import forgotten_rows
from coach.habits.hands import ONLINE, Tap, Verdict, Wanted, verdict
from coach.habits.parts import parts_view
from coach.habits.signatures import last_rows, newer
from coach.progress.log import Mark, Row, What

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping, Sequence
    from datetime import date

    from coach.ground.ports import Context
    from coach.ground.rows import Signed
    from coach.ground.situation import Situation
    from coach.habits.answers import MarkName
    from coach.habits.notes import SlotName

R = TypeVar("R")


@dataclass(frozen=True, slots=True)
class Marking:
    """A step's mark on a date; None takes it back.

    Attributes:
        tap: What it says of itself besides.
    """

    on: date
    step: str
    mark: MarkName | None
    tap: Tap = ONLINE


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
        Newer: Another one's newer mark stands there; `now` has the answer as it stands as `shown`, and that
            mark as `clash`.
    """

    def decide(where: Situation) -> Decision[None]:
        meant = replace(marking, step=_checked(where, marking.on, marking.step))
        lines = _Lines.of(where, marking.tap)
        try:
            return lines.decision(lines.rows(meant), None)
        except _Clashed as clashed:
            raise newer(where, clashed.last, answer(where)) from None

    with _only_days_that_are():
        return written(context, household, decide, lambda where, _: answer(where), on=marking.on)


@dataclass(frozen=True, slots=True)
class PartMarking:
    """One mark for every line of a part of a date's list that comes on most days and has none.

    Attributes:
        tap: What it says of itself besides; where a mark was taken back after it, the line stays without one.
    """

    on: date
    slot: SlotName
    mark: MarkName
    tap: Tap = ONLINE


@dataclass(frozen=True, slots=True)
class StepsMarking:
    """One mark for several steps on a date, or what it takes to get rid of one.

    Attributes:
        mark: None takes marks back.
        only: Only where this mark stands, and nobody else has set it anew; none: whatever stands.
        tap: What it says of itself besides.
    """

    on: date
    steps: tuple[str, ...]
    mark: MarkName | None
    only: MarkName | None = None
    tap: Tap = ONLINE


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
        Newer: As for one mark. Nothing is written then, of the other steps neither.
    """
    is_choosy = isinstance(marking, PartMarking) or marking.only is not None

    def decide(where: Situation) -> Decision[tuple[str, ...]]:
        refuse_uneditable(where, marking.on)
        lines, rows = _Lines.of(where, marking.tap), []
        for one in _each(where, marking):
            try:
                rows += lines.rows(one)
            except _Clashed as clashed:
                if not is_choosy:
                    raise newer(where, clashed.last, answer(where, ())) from None
        return lines.decision(rows, tuple(row.step for row in rows if lines.changes(row)))

    with _only_days_that_are():
        return written(context, household, decide, answer, on=marking.on)


def together_view(where: Situation, changed: tuple[str, ...]) -> MarkedTogether:
    """What was changed at once, with the day as it now stands."""
    return MarkedTogether(changed, day_view(where))


def _each(where: Situation, marking: PartMarking | StepsMarking) -> Iterator[Marking]:
    if isinstance(marking, PartMarking):
        parts = (part for part in parts_view(where).parts if part.slot == marking.slot)
        steps = [step for part in parts for step in part.together]
        yield from (Marking(marking.on, step, marking.mark, marking.tap) for step in steps)
        return
    for step in dict.fromkeys(_checked(where, marking.on, step) for step in marking.steps):
        there = where.opening.marks.get(step)
        if marking.only is None or there == marking.only:
            yield Marking(marking.on, step, marking.mark, marking.tap)


class _Clashed(Exception):
    """Another one's newer row stands in the way."""

    def __init__(self, last: Signed) -> None:
        super().__init__(last.step)
        self.last = last


@dataclass(frozen=True, slots=True)
class _Lines:
    """The lines of a date as a tap finds them.

    Attributes:
        last: By step its last row of the date, where it matters who wrote it.
    """

    where: Situation
    tap: Tap
    last: Mapping[str, Signed]

    @classmethod
    def of(cls, where: Situation, tap: Tap) -> _Lines:
        """The lines of a situation's date; what nobody could have written since costs no reading."""
        tap = tap.at(where.context.clock())
        asks = tap.asks(where.home.version, where.home.members)
        return cls(where, tap, last_rows(where) if asks else {})

    def rows(self, marking: Marking) -> list[Row]:
        """The row that makes the mark what it is to be; none if what is there stands.

        Raises:
            _Clashed: Another one's newer mark does.
        """
        step = marking.step
        mark = marking.mark and Mark(marking.mark)
        wanted = Wanted(mark or None, self.where.opening.marks.get(step), self.where.context.by)
        last = self.last.get(step)
        found = verdict(wanted, last, self.tap)
        if found is Verdict.CLASH and last is not None:
            raise _Clashed(last)
        if found is Verdict.STANDS:
            return []
        return [Row(marking.on, What(mark) if mark else What.CLEAR, step)]

    def changes(self, row: Row) -> bool:
        """Whether a row makes a mark another one, and not only a later one."""
        stands = self.where.opening.marks.get(row.step)
        return row.what.value != (stands.value if stands else What.CLEAR.value)

    def decision(self, rows: Sequence[Row], value: R) -> Decision[R]:
        """Marks to be written; what only a few had left out and is marked by hand is that no more."""
        forgotten = forgotten_rows(self.where, [row.step for row in rows])
        return Decision(value, log=rows, plan=forgotten, tapped_at=self.tap.tapped_at)


@contextmanager
def _only_days_that_are() -> Iterator[None]:
    try:
        yield
    except OutOfRange as error:
        raise NotEditable(f"{error} Marks are for today and the {EDITABLE_DAYS} days before it.") from error


def refuse_uneditable(where: Situation, on: date) -> None:
    """Refuse a date whose marks can no longer be changed, or not yet.

    Raises:
        NotEditable: It is one.
    """
    if not is_editable(on, where.today, where.state.started):
        raise NotEditable(
            f"{full_date(on)} can no longer be changed. Marks can be changed for today, "
            f"{full_date(where.today)}, and the {EDITABLE_DAYS} days before it."
        )


def _checked(where: Situation, on: date, step: str) -> str:
    """The step that an id means on a date that can be changed."""
    refuse_uneditable(where, on)
    meant = where.meant(step)
    if meant is None:
        raise Unknown(f"There is no step “{step}” on {full_date(on)}.")
    return meant
