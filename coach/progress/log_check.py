"""A log held against its course (rules §4): its start, steps and paces nobody knows, marks out of time."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from typing import TYPE_CHECKING

from coach.course.definition import id_fault, step_from
from coach.errors import Malformed
from coach.progress.days import LONGEST_YEARS, is_too_late
from coach.progress.decisions import table_of
from coach.progress.faults import FirstFaults
from coach.progress.journal import Version
from coach.progress.log import MARKING, MOST_OWN_STEPS, What
from coach.progress.paces import checked_pace

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from coach.course.model import Course
    from coach.errors import Faults
    from coach.progress.csvform import ReadLog
    from coach.progress.log import Row


@dataclass(slots=True)
class _Known:
    """What the rows so far have made known, and what others name too.

    Attributes:
        course: The version that holds.
        versions: The course's versions that have not begun yet, the oldest first.
        steps: Ids of the steps there are by now; one that vanished stays with those who have it.
        former: Ids that some of them had in earlier versions of the course.
        paces: Names of the paces there have been by now, those that vanished too.
        added: Ids of the steps that come with a later version, or that the log adds on any date.
        unread: Ids that stand in rows with a fault, which may have been meant to add them.
        own: The places in the log of the rows that added steps, in order, by the step they added.
    """

    course: Course
    versions: list[Version]
    today: date
    started: date
    steps: set[str]
    former: set[str]
    paces: set[str]
    added: frozenset[str]
    unread: frozenset[str]
    own: dict[str, int] = field(default_factory=dict)

    def follow(self, day: date) -> None:
        """Take in the versions of the course that hold by a date."""
        while self.versions and self.versions[0].since <= day:
            course = self.course = self.versions.pop(0).course
            self.steps.update(step.id for step in course.steps)
            self.former.update(_former(course))
            self.paces.update(course.paces)

    def means(self, step: str) -> bool:
        """Whether a step is meant by an id by now, or may be by a row that cannot be read."""
        return step in self.steps or step in self.former or step in self.unread


def _former(course: Course) -> Iterator[str]:
    return (name for step in course.steps for name in step.formerly)


def check_log(
    log: ReadLog, course: Course, today: date, name: str = "log.csv", versions: Sequence[Version] = ()
) -> Faults:
    """What is wrong with a log: unreadable rows, its start, steps nobody knows, marks out of time.

    Args:
        log: A log as it was read.
        course: The course it is for.
        today: The household's current date. Rows may lie after it: a clock that is ahead writes such.
        name: What the file is called in the faults.
        versions: The course as the household has followed it, oldest first, in place of the course alone.

    Returns:
        The first faults in the order of the file, and the number of the rest.
    """
    starts = [(line, row) for line, row in zip(log.lines, log.rows, strict=True) if row.what is What.START]
    if not starts and log.faults:
        return log.faults
    found = FirstFaults(name)
    if len(starts) != 1:
        line = starts[1][0] if starts else None
        found.add(line, f"A log has one row of “start”; this one has {len(starts)}.")
    else:
        _check_rows(log, _known(log, versions or [Version(date.min, course)], today, starts[0][1]), found)
    return found.found(log.faults)


def check_paces(log: ReadLog, course: Course, name: str) -> Faults:
    """The rows of a log whose pace the course does not have, where nothing else is to be known of it."""
    found = FirstFaults(name)
    for line, row in zip(log.lines, log.rows, strict=True):
        if row.what is What.PACE:
            try:
                checked_pace(row.value, course.paces)
            except Malformed as error:
                found.add(line, str(error))
    return found.found()


def _check_rows(log: ReadLog, known: _Known, found: FirstFaults) -> None:
    for place in _by_date(log):
        row = log.rows[place]
        known.follow(row.date)
        try:
            _check_row(row, place, known)
        except Malformed as error:
            found.add(log.lines[place], str(error))


def _known(log: ReadLog, versions: Sequence[Version], today: date, start: Row) -> _Known:
    # As in the fold, the first version holds from the start, whenever that was.
    held = [version for version in versions if version.since <= start.date] or versions[:1]
    course, later = held[-1].course, list(versions[versions.index(held[-1]) + 1 :])
    added = {row.step for row in log.rows if row.what is What.ADD}
    for version in later:
        added.update((*(step.id for step in version.course.steps), *_former(version.course)))
    steps, former = {step.id for step in course.steps}, set(_former(course))
    paces = set(course.paces)
    return _Known(course, later, today, start.date, steps, former, paces, frozenset(added), log.unread)


def _by_date(log: ReadLog) -> Sequence[int]:
    """The places of the rows by date; what a mark says is checked alike before and after decisions."""
    return sorted(range(len(log.rows)), key=lambda place: log.rows[place].date)


def _check_row(row: Row, place: int, known: _Known) -> None:
    if row.what is What.START:
        _check_start(row, known)
    elif row.what in MARKING:
        _check_mark(row, known)
    elif row.what is What.ADD:
        _add(row, place, known)
    elif row.what is What.PACE and row.value not in known.paces:
        checked_pace(row.value, known.course.paces)
    elif row.step and not known.means(row.step):
        raise Malformed(_no_step(row.step))


def _no_step(step: str) -> str:
    return f"There is no step “{step}” on that date. Check its id, or add the step in an earlier row."


def _check_start(row: Row, known: _Known) -> None:
    first = known.course.named(row.step)
    if is_too_late(known.today, row.date):
        raise Malformed(f"The start on {row.date} lies more than {LONGEST_YEARS} years back. Check its year.")
    if row.step and (first is None or not first.is_root):
        roots = ", ".join(root.id for root in known.course.roots)
        raise Malformed(f"“{row.step}” is no step to begin with. Choose one of: {roots}.")
    if row.value:
        checked_pace(row.value, known.course.paces)


def _check_mark(row: Row, known: _Known) -> None:
    if row.date < known.started:
        raise Malformed(f"This mark lies before the start on {known.started}.")
    # One that lies after today was written by a clock that was ahead, and counts when its date comes.
    if is_too_late(row.date, known.started):
        raise Malformed(
            f"This mark on {row.date} lies more than {LONGEST_YEARS} years after the start on "
            f"{known.started}. Check its year."
        )
    # A mark on a step that is added later does nothing (rules §5.6), and so does no harm.
    if not known.means(row.step) and row.step not in known.added:
        raise Malformed(_no_step(row.step))


def _add(row: Row, place: int, known: _Known) -> None:
    if place < known.own.get(row.step, -1):
        # It was written first, by a clock that was ahead, and does nothing when its date comes.
        return
    if row.step in known.steps:
        raise Malformed(f"There is a step “{row.step}” already; choose another id.")
    fault = id_fault(row.step)
    if fault:
        raise Malformed(fault)
    step = step_from(row.step, table_of(row))
    unknown = [name for name in (*step.after, *step.after_any) if not known.means(name)]
    if unknown:
        raise Malformed(f"“{row.step}” comes after “{unknown[0]}”, which is no step on that date.")
    before = sum(other < place for other in known.own.values())
    if max(before, len(known.own) - MOST_OWN_STEPS) >= MOST_OWN_STEPS:
        raise Malformed(f"A household can add {MOST_OWN_STEPS} steps of its own; this is one more.")
    known.own[row.step] = place
    known.steps.add(row.step)
