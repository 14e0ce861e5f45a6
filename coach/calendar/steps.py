"""What steps bring into a calendar: weekday jobs on their dates, and the lines of each day's routines."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from coach.calendar.rules.entries import Entry
from coach.calendar.span import day_begins
from coach.course.model import Slot
from coach.course.recurrence import falls_between
from coach.ground.wording import minutes_words
from coach.progress import decisions
from coach.progress.days import ONE_DAY
from coach.progress.opening import SLOT_ORDER
from coach.week.job_facts import is_job, jobs_kept
from coach.week.occurrences import lived_days

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence
    from datetime import date, datetime

    from coach.calendar.span import Span
    from coach.course.model import Step
    from coach.progress.state import Record
    from coach.week.rules.jobs import JobPlan

A_DAY = "day"
"""The id of a day's routines: there is one such event on a date."""

_PARTS = {Slot.MORNING: "morning", Slot.ANYTIME: "any time", Slot.EVENING: "evening"}


@dataclass(slots=True)
class Falling:
    """A step with the dates on which it falls.

    Attributes:
        step: As it is on the latest of them.
        came: The date it was introduced on.
        place: What lists of a day are sorted by.
    """

    step: Step
    came: date
    place: tuple[int, int]
    dates: list[date] = field(default_factory=list)


def falling(span: Span, *, with_routines: bool) -> dict[str, Falling]:
    """The steps that fall on dates of the calendar, by their present ids; without routines jobs alone."""
    found: dict[str, Falling] = {}
    _take_lived(span, found, with_routines=with_routines)
    for record, first, last in _ahead(span):
        step = record.step
        if record.introduced is None or not (with_routines or is_job(step)):
            continue
        dates = falls_between(step.repeats, record.introduced, first, last)
        _take(found, record, [day for day in dates if day not in span.away])
    return found


def _take_lived(span: Span, found: dict[str, Falling], *, with_routines: bool) -> None:
    """The dates up to today, as the log says that they were lived."""
    where = span.where
    for day, due in sorted(lived_days(where, span.first, where.today).days.items()):
        for step in due.steps if due.rest is None else ():
            record = where.state.known(step.id)
            if record is not None and (with_routines or is_job(step)):
                _take(found, record, [day])


def _take(found: dict[str, Falling], record: Record, dates: Sequence[date]) -> None:
    if not dates:
        return
    step = record.step
    kept = found.get(step.id)
    if kept is None:
        place = SLOT_ORDER[step.slot], record.position
        kept = found[step.id] = Falling(step, record.introduced or dates[0], place)
    kept.step = step
    kept.dates += dates


def _ahead(span: Span) -> Iterator[tuple[Record, date, date]]:
    """Each active step with each stretch of days to come between which nothing is decided about any."""
    where = span.where
    state, through = where.state.copy(), where.today
    rows = [row for row in where.book.decisions if row.date > through]
    starts = sorted({span.tomorrow, *(row.date for row in rows if row.date <= span.last)})
    for start, following in zip(starts, [*starts[1:], span.last + ONE_DAY], strict=True):
        decisions.apply(state, [row for row in rows if through < row.date <= start])
        through = start
        for record in state.records.values():
            if record.active:
                yield record, start, following - ONE_DAY


def job_entries(span: Span, found: Mapping[str, Falling]) -> Iterator[Entry]:
    """The weekday jobs, each with its minutes and its lines."""
    kept = jobs_kept(span.where)
    for step_id, one in sorted(found.items()):
        if is_job(one.step):
            changed = _changed(span, step_id, one)
            text = job_text(one.step, kept.plan(one.step))
            yield Entry("jobs", step_id, one.step.title, text, changed, tuple(one.dates))


def job_text(step: Step, plan: JobPlan) -> str:
    """How long a job takes and what is done in it, line by line."""
    minutes = [minutes_words(step.minutes)] if step.minutes else []
    return "\n".join([*minutes, *(line.title for line in plan.lines)])


def routine_entries(span: Span, found: Mapping[str, Falling]) -> Iterator[Entry]:
    """The routines: one event a day, which counts the lines of each part of the day and names them."""
    by_date: dict[date, list[str]] = defaultdict(list)
    for step_id, one in sorted(found.items(), key=lambda item: item[1].place):
        for day in () if is_job(one.step) else one.dates:
            by_date[day].append(step_id)
    alike: dict[tuple[str, ...], list[date]] = defaultdict(list)
    for day, names in sorted(by_date.items()):
        alike[tuple(names)].append(day)
    for steps, dates in alike.items():
        title, text = routines_text([found[step].step for step in steps])
        changed = max(_changed(span, step, found[step]) for step in steps)
        yield Entry("routines", A_DAY, title, text, changed, tuple(dates))


def _changed(span: Span, step: str, one: Falling) -> datetime:
    return span.stamps.step(step, day_begins(span.where, one.came))


def routines_text(steps: Sequence[Step]) -> tuple[str, str]:
    """A day's routines in a line, such as “Morning 5, any time 2”, and below it the lines of each part."""
    parts = {name: [step.title for step in steps if step.slot is slot] for slot, name in _PARTS.items()}
    said = {name: lines for name, lines in parts.items() if lines}
    title = ", ".join(f"{name} {len(lines)}" for name, lines in said.items()).capitalize()
    return title, "\n".join(f"{name.capitalize()}: {'; '.join(lines)}" for name, lines in said.items())
