"""The boxes of a week sheet: its dates, the daily lines with a box for each, and the week's jobs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.paper.answers import SheetDay, SheetJob, SheetLine
from coach.progress.opening import SLOT_ORDER
from coach.week.job_facts import is_job
from coach.week.occurrences import falling

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator
    from datetime import date

    from coach.course.model import Step
    from coach.ground.situation import Situation
    from coach.paper.answers import BoxName
    from coach.week.facts import DayFacts, WeekFacts
    from coach.week.job_facts import JobsKept

NOTHING_FALLS = frozenset({"away", "before-start", "no-day"})
"""Rests on which a sheet has no boxes. On days on which the list waited, a mark would take it up."""


def days_of_sheet(facts: WeekFacts) -> tuple[SheetDay, ...]:
    """The seven dates."""
    return tuple(
        SheetDay(day.date, day.weekday, day.due.rest if day.due.rest in NOTHING_FALLS else None)
        for day in facts.days
    )


def lived_dates(facts: WeekFacts) -> list[date]:
    """The dates up to today that have boxes."""
    return [day.date for day in facts.days if (day.past or day.today) and day.due.rest not in NOTHING_FALLS]


def lines_in(where: Situation, facts: WeekFacts) -> tuple[SheetLine, ...]:
    """The steps that fall more often than weekly, each with its boxes, in the checklist's order."""
    steps = dict(_latest(where, facts))
    falls = _falls(where, facts)
    marks: dict[date, dict[str, BoxName]] = {
        day: {where.state.present(step): mark.value for step, mark in found.items()}
        for day, found in facts.marks.items()
    }
    dates = [day.date for day in facts.days]

    def box(step: str, day: date) -> BoxName:
        return marks.get(day, {}).get(step) or ("open" if (step, day) in falls else "none")

    ordered = sorted(steps, key=lambda step: _place(where, steps[step]))
    return tuple(
        SheetLine(
            step=step,
            title=steps[step].title,
            slot=steps[step].slot.value,
            minutes=steps[step].minutes,
            cue=steps[step].cue,
            boxes=tuple(box(step, day) for day in dates),
        )
        for step in ordered
    )


def _latest(where: Situation, facts: WeekFacts) -> Iterator[tuple[str, Step]]:
    """The lines' steps by their present ids, each as it stands on the latest of its dates."""
    for day in facts.days:
        for step in _steps_of(where, day):
            if not is_job(step):
                yield where.state.present(step.id), step


def _falls(where: Situation, facts: WeekFacts) -> set[tuple[str, date]]:
    return {(where.state.present(step.id), day.date) for day in facts.days for step in _steps_of(where, day)}


def _steps_of(where: Situation, day: DayFacts) -> Iterable[Step]:
    """What falls on a date; while the list waited, what would."""
    return falling(where, day.date) if day.due.rest == "lapsed" else day.load.steps


def _place(where: Situation, step: Step) -> tuple[int, int]:
    record = where.state.known(step.id)
    return SLOT_ORDER[step.slot], record.position if record else 0


def jobs_in(where: Situation, facts: WeekFacts, kept: JobsKept) -> tuple[SheetJob, ...]:
    """The week's jobs by day, each with its box and its lines."""
    return tuple(
        _job(facts, day.date, step, tuple(line.title for line in kept.plan(step).lines))
        for day in facts.days
        for step in _steps_of(where, day)
        if is_job(step)
    )


def _job(facts: WeekFacts, on: date, step: Step, lines: tuple[str, ...]) -> SheetJob:
    closing = facts.closings.get((step.id, on))
    mark = facts.marks.get(closing.on, {}).get(step.id) if closing else None
    box: BoxName = mark.value if mark else "open"
    return SheetJob(
        step.id, step.title, on, step.minutes, box, lines, closing.on if closing and mark else None
    )
