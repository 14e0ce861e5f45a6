"""The days of a week: those lived folded once more, those to come worked out from each step's rule."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from coach.course.recurrence import falls
from coach.progress import decisions
from coach.progress.closing import close_day
from coach.progress.days import exists, following
from coach.progress.opening import SLOT_ORDER, Phase
from coach.progress.replay import open_on

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable, Iterator, Mapping
    from datetime import date

    from coach.course.model import Step
    from coach.ground.situation import Situation
    from coach.progress.journal import Journal
    from coach.progress.log import Mark
    from coach.progress.opening import Opening
    from coach.progress.state import Record, State
    from coach.week.answers import ClosedName, RestName

Occurrence = tuple[str, "date"]
"""A step's id and the date it was due on."""


@dataclass(frozen=True, slots=True)
class Closing:
    """How an occurrence closed, and when; on today it may still change."""

    how: ClosedName
    on: date


@dataclass(frozen=True, slots=True)
class DayDue:
    """What one date holds.

    Attributes:
        rest: Why nothing is due, if nothing can be.
        steps: The steps due on it, in the checklist's order.
        earlier: Jobs due before it that were marked on it, or are still open today; each with its date.
        starts: The date each of these steps was introduced on.
    """

    date: dt.date
    rest: RestName | None
    steps: tuple[Step, ...] = ()
    earlier: tuple[tuple[Step, dt.date], ...] = ()
    starts: dict[str, dt.date] = field(default_factory=dict)


@dataclass(slots=True)
class Lived:
    """The days of a week up to today, filled in while the log is folded.

    Attributes:
        closings: How occurrences closed.
        pending: The date of each step's open occurrence.
        marks: What was marked on each date, by step.
    """

    days: dict[date, DayDue]
    closings: dict[Occurrence, Closing]
    pending: dict[str, date]
    marks: dict[date, Mapping[str, Mark]] = field(default_factory=dict)


def lived_days(where: Situation, first: date, last: date) -> Lived:
    """The household days of a week up to today, and how what was due on them closed.

    The fold goes on after the week, at most to today, until all that was due in it has closed.

    Args:
        where: The household, looked at today.
        first: The first day of the week, not in the future.
        last: Its last day.
    """
    found = Lived({}, {}, {})
    begin = _first_household_day(where, first)
    if begin > last or begin > where.today:
        return found
    begun = where if begin == where.today else where.at(begin)
    state, opening = begun.state, begun.opening
    found.pending = {step: record.open_since for step, record in state.records.items()
                     if record.open_since and record.open_since < begin and record.active}  # fmt: skip
    while True:
        _note_opening(found, state, opening, last)
        if opening.date >= where.today:
            _note_marks(found, state, opening)
            return found
        if opening.date >= last:
            found.pending = {step: due_on for step, due_on in found.pending.items() if due_on >= begin}
            if not found.pending:
                return found
        opening = _next_day(found, state, opening, begun.book)


def lived_today(where: Situation) -> Lived:
    """Today alone, as `lived_days` has it, without folding anything: its opening knows what is still open."""
    state, opening, first = where.state, where.opening, where.week
    open_now = [record for record in state.records.values() if record.active and record.open_since]
    found = Lived({}, {}, {record.step.id: on for record in open_now
                           if (on := record.open_since) and on < first})  # fmt: skip
    for day in sorted({record.open_since for record in open_now if record.open_since}):
        if first <= day <= opening.date:
            due = _in_order(record for record in open_now if record.open_since == day)
            found.pending |= {record.step.id: day for record in due}
    due = _in_order(record for record in open_now if record.open_since == opening.date)
    found.days[opening.date] = _day_due(opening.date, _rest(opening.phase), due)
    _note_marks(found, state, opening)
    return found


def _first_household_day(where: Situation, day: date) -> date:
    standing = where.standing
    day = max(day, standing.started)
    return day if exists(day, standing.zone) else following(day, standing.zone)


def _next_day(found: Lived, state: State, opening: Opening, book: Journal) -> Opening:
    close_day(state, opening)
    for step, due_on in list(found.pending.items()):
        record = state.known(step)
        if record is not None and record.open_since is None:
            _close(found, step, record, due_on, opening)
    return open_on(state, book, following(opening.date, state.zone))


def _close(found: Lived, step: str, record: Record, due_on: date, opening: Opening) -> None:
    """Take down how an occurrence closed."""
    mark = opening.marks.get(record.step.id)
    how: ClosedName = mark.value if mark else "missed"
    _note_closing(found, step, record, due_on, Closing(how, opening.date))
    del found.pending[step]
    if mark is not None:
        _note_earlier(found, record, due_on, opening.date)


def _note_closing(found: Lived, step: str, record: Record, due_on: date, closing: Closing) -> None:
    """By the id the step had when the occurrence opened, and by the one it has as that closes."""
    found.closings[step, due_on] = found.closings[record.step.id, due_on] = closing


def _note_earlier(found: Lived, record: Record, due_on: date, day: date) -> None:
    """Put an occurrence of an earlier date on the date it was marked on, or today is open on."""
    there = found.days.get(day)
    if there is not None and due_on < day:
        both = (*there.earlier, (record.step, due_on))
        found.days[day] = DayDue(day, there.rest, there.steps, both, there.starts)


def _note_opening(found: Lived, state: State, opening: Opening, last: date) -> None:
    """Take down what opened on a day, and what was forgotten as it did."""
    for step, due_on in list(found.pending.items()):
        record = state.known(step)
        if record is None or not record.active or record.open_since != due_on:
            found.closings[step, due_on] = Closing("forgotten", opening.date)
            del found.pending[step]
    found.marks[opening.date] = opening.marks
    if opening.date <= last:
        due = _in_order(record for record in state.records.values()
                        if record.active and record.open_since == opening.date)  # fmt: skip
        found.pending |= {record.step.id: opening.date for record in due}
        found.days[opening.date] = _day_due(opening.date, _rest(opening.phase), due)


def _rest(phase: Phase) -> RestName | None:
    return {Phase.PAUSED: "away", Phase.LAPSED: "lapsed"}.get(phase)  # type: ignore[return-value]  # names of rests


def _note_marks(found: Lived, state: State, opening: Opening) -> None:
    """Today has not closed: its marks show what will be, and open jobs of earlier days stand on it."""
    for step, due_on in found.pending.items():
        record = state.known(step)
        if record is None:
            continue
        mark = opening.marks.get(record.step.id)
        if mark is not None:
            _note_closing(found, step, record, due_on, Closing(mark.value, opening.date))
        if opening.phase not in {Phase.PAUSED, Phase.LAPSED}:
            _note_earlier(found, record, due_on, opening.date)


def coming_days(where: Situation, days: Iterable[date]) -> Iterator[DayDue]:
    """What falls on dates after today, in order, for the steps active now and the decisions already made."""
    state = where.state.copy()
    rows = where.book.decisions
    through = where.today
    for day in days:
        decisions.apply(state, [row for row in rows if through < row.date <= day])
        through = day
        if not exists(day, where.home.zone):
            yield DayDue(day, "no-day")
        elif where.away(day):
            yield DayDue(day, "away")
        else:
            due = (record for record in state.records.values() if record.active)
            yield _day_due(day, None, _in_order(record for record in due if _falls(record, day)))


def falling(where: Situation, day: date) -> tuple[Step, ...]:
    """The steps that fall on a day by their rules as they stand now, whatever was due on it."""
    return tuple(
        record.step
        for record in _in_order(one for one in where.state.records.values() if one.active)
        if _falls(record, day)
    )


def _falls(record: Record, day: date) -> bool:
    return record.introduced is not None and falls(record.step.repeats, record.introduced, day)


def _in_order(records: Iterable[Record]) -> list[Record]:
    """In the checklist's order: by the part of the day, and in course order within each."""
    return sorted(records, key=lambda record: (SLOT_ORDER[record.step.slot], record.position))


def _day_due(day: date, rest: RestName | None, due: list[Record]) -> DayDue:
    starts = {record.step.id: record.introduced for record in due if record.introduced}
    return DayDue(day, rest, tuple(record.step for record in due), (), starts)
