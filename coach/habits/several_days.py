"""Marks of several days at once: the rows that make them what they are to be, and those that may not be."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from coach.errors import Unknown
from coach.ground.wording import full_date
from coach.habits.few_lines import forgotten_rows
from coach.habits.hands import ONLINE, Tap, Verdict, Wanted, verdict
from coach.habits.marks import refuse_uneditable
from coach.progress.days import exists
from coach.progress.log import Mark, Row, What

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence
    from datetime import date

    from coach.ground.plan_rows import PlanRow
    from coach.ground.rows import Signed
    from coach.ground.situation import Situation
    from coach.habits.answers import MarkName
    from coach.progress.opening import Opening
    from coach.progress.state import State

    Marks = Mapping[date, Mapping[str, MarkName | None]]
    """By date and step what its mark is to be; None: no mark."""


@dataclass(frozen=True, slots=True)
class SeveralRows:
    """What is written so that marks of several days become what they are to be.

    Attributes:
        log: A row for each mark that is another one than it was, in the order of the dates.
        plan: What only a few had left out today and is marked by hand is that no more.
        clashes: The last rows of lines that others have marked since: nothing may be written then.
    """

    log: Sequence[Row]
    plan: Sequence[PlanRow]
    clashes: Sequence[Signed]


def several_rows(where: Situation, wanted: Marks, tap: Tap = ONLINE, by: str = "") -> SeveralRows:
    """What is written for marks of several days, out of today's situation.

    Args:
        where: The situation.
        wanted: By date and step what its mark is to be.
        tap: What the marks say of themselves.
        by: Who asks, to whom a mark of their own is no other one's.

    Raises:
        Unknown: There is no such step on a date, or the date never happened.
        NotEditable: A date cannot be changed.
    """
    dates = sorted(wanted)
    for on in dates:
        refuse_uneditable(where, on)
    last = _last(where, dates, tap)
    rows: list[Row] = []
    clashes: list[Signed] = []
    for opening, state in _lived(where, dates):
        for name, mark in wanted[opening.date].items():
            step = _meant(where, state, name, opening.date)
            found = last.get((opening.date, step))
            said = Wanted(Mark(mark) if mark else None, opening.marks.get(step), by)
            outcome = verdict(said, found, tap)
            if outcome is Verdict.CLASH and found is not None:
                clashes.append(found)
            elif outcome is Verdict.WRITTEN:
                rows.append(Row(opening.date, What(mark) if mark else What.CLEAR, step))
    today = [row.step for row in rows if row.date == where.today]
    return SeveralRows(rows, forgotten_rows(where, today), clashes)


def _lived(where: Situation, dates: Sequence[date]) -> Iterator[tuple[Opening, State]]:
    """The dates as they opened, those before today folded once.

    Raises:
        Unknown: One of them never happened.
    """
    for on in dates:
        if not exists(on, where.home.zone):
            raise Unknown(f"{full_date(on)} never happened in the time zone of the household.")
    earlier = [on for on in dates if on < where.today]
    if earlier:
        for opening, state in where.closed(earlier[0], earlier[-1]):
            if opening.date in dates:
                yield opening, state
    if where.today in dates:
        yield where.opening, where.state


def _meant(where: Situation, state: State, name: str, on: date) -> str:
    meant = where.meant(name, state)
    if meant is None:
        raise Unknown(f"There is no step “{name}” on {full_date(on)}.")
    return meant


def _last(where: Situation, dates: Sequence[date], tap: Tap) -> dict[tuple[date, str], Signed]:
    """By date and step the last row, where it matters who wrote it."""
    if not dates or not tap.asks(where.home.version, where.home.members):
        return {}
    signed = where.reading.signed(dates[0], dates[-1])
    return {(one.date, where.state.present(one.step)): one for one in signed}
