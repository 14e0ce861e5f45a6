"""Where people stop, worked out from logs that were exported, each one household's."""

from __future__ import annotations

from collections import defaultdict
from datetime import date
from typing import TYPE_CHECKING

from coach.coaching.rules.counts import counted
from coach.coaching.rules.following import saved_through
from coach.coaching.rules.stops import Stops, stops
from coach.errors import Fault, Faults, FaultyFile
from coach.ground.wording import full_date
from coach.progress.csvform import read_log, text_of
from coach.progress.days import ONE_DAY
from coach.progress.journal import Version, journal
from coach.progress.log import What
from coach.progress.log_check import check_log

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from coach.course.model import Course
    from coach.ground.spells import Spell
    from coach.progress.csvform import ReadLog


def stops_of_logs(course: Course, logs: Mapping[str, bytes], on: date) -> list[Stops]:
    """Where people stop in each step of a course, in course order, as a date opens: by the days closed then.

    Args:
        course: The course that all of them follow.
        logs: What the files hold, by what the person calls them.
        on: The date.

    Raises:
        FaultyFile: Logs have faults, are another course's, or start after the date; each is named.
        Malformed: A file is no text.
    """
    spells: defaultdict[str, list[Spell]] = defaultdict(list)
    for log in _read(course, logs, on):
        for spell in _spells(course, log, on):
            spells[spell.step].append(spell)
    return [stops(step.id, counted(spells[step.id])) for step in course.steps]


def _spells(course: Course, log: ReadLog, on: date) -> Sequence[Spell]:
    book = journal([Version(date.min, course)], log.rows)
    # No day lies before the calendar's first, so none is asked for before a household's.
    saved = saved_through(book, on - ONE_DAY) if book.start_row().date < on else None
    return saved.spells if saved else ()


def _read(course: Course, logs: Mapping[str, bytes], on: date) -> Sequence[ReadLog]:
    read = {name: read_log(text_of(content, name), name) for name, content in logs.items()}
    faults = FaultyFile(_faults(read, course, on))
    if faults.count:
        raise faults
    return tuple(read.values())


def _faults(read: Mapping[str, ReadLog], course: Course, on: date) -> Faults:
    parts = []
    for name, log in read.items():
        parts += [check_log(log, course, on, name), _late_start(log, on, name)]
    return Faults.of(*parts)


def _late_start(log: ReadLog, on: date, name: str) -> list[Fault]:
    """What is wrong where a household has not started by a date."""
    return [
        Fault(
            name,
            line,
            f"This household starts on {full_date(row.date)}, after {full_date(on)}. "
            "Choose a later date, or leave this log out.",
        )
        for line, row in zip(log.lines, log.rows, strict=True)
        if row.what is What.START and row.date > on
    ]
