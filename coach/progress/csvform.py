"""The log as CSV (rules §7): written for export, read back row by row with every fault named."""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass
from typing import TYPE_CHECKING

from coach.course.definition import check_changes, id_fault, step_from
from coach.errors import Fault, Malformed
from coach.progress.days import checked_zone, hour_of, iso_date
from coach.progress.decisions import CHOICES, ceiling_of, last_day, table_of
from coach.progress.log import MARKING, Row, What

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence
    from datetime import date

    from coach.course.model import Course

HEADER = ("date", "what", "step", "value")
NAMING = MARKING | {What.SET_ASIDE, What.RESTORE, What.NEXT, What.ADD, What.ADJUST}
VALUELESS = MARKING | {What.SET_ASIDE, What.RESTORE, What.NEXT}
LONGEST_YEARS = 100
QUOTES = "Look for a double quote that is not closed, or not doubled inside a value."


@dataclass(frozen=True, slots=True)
class ReadLog:
    """What a CSV text held: its good rows with their lines, and every fault.

    Attributes:
        unread: What stood in the third cell of the rows with a fault.
    """

    rows: tuple[Row, ...]
    lines: tuple[int, ...]
    faults: tuple[Fault, ...]
    unread: frozenset[str] = frozenset()


def write_log(rows: Iterable[Row]) -> str:
    """The log as CSV text with its header, in the order written (RFC 4180)."""
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow(HEADER)
    writer.writerows((row.date.isoformat(), row.what.value, row.step, row.value) for row in rows)
    return text.getvalue()


def read_log(text: str, name: str = "log.csv") -> ReadLog:
    """Read CSV text; each row is checked by itself, and a row with a fault is left out.

    Args:
        text: The whole file, with or without a byte order mark.
        name: What the file is called in the faults.
    """
    reader = csv.reader(io.StringIO(text.removeprefix("\ufeff"), newline=""), strict=True)
    read: list[tuple[int, Row]] = []
    faults: list[Fault] = []
    unread: set[str] = set()
    line = 1
    try:
        _check_header(next(reader, []))
        line = reader.line_num + 1
        for cells in reader:
            if cells and not _take(cells, line, read, faults, name):
                unread.update(cell.strip() for cell in cells[2:3])
            line = reader.line_num + 1
    except Malformed as error:
        faults.append(Fault(name, line, str(error)))
    except csv.Error as error:
        faults.append(Fault(name, line, f"From here on this is no CSV: {error}. {QUOTES}"))
    rows, lines = tuple(row for _, row in read), tuple(line for line, _ in read)
    return ReadLog(rows, lines, tuple(faults), frozenset(unread))


def _check_header(cells: list[str]) -> None:
    if tuple(cell.strip() for cell in cells) != HEADER:
        raise Malformed(f"The first line has to be “{','.join(HEADER)}”, with commas between.")


def _take(cells: list[str], line: int, read: list[tuple[int, Row]], faults: list[Fault], name: str) -> bool:
    """Read one row, or note why it cannot be; whether it could."""
    try:
        read.append((line, _row(cells)))
    except Malformed as error:
        faults.append(Fault(name, line, str(error)))
        return False
    return True


def _row(cells: list[str]) -> Row:
    if len(cells) != len(HEADER):
        raise Malformed(
            f"This row has {len(cells)} cells instead of 4. Put a value with commas in double quotes."
        )
    day, what, step, value = (cell.strip() for cell in cells)
    row = Row(iso_date(day), _what(what), step, value)
    _check_step(row)
    _check_value(row)
    return row


def _what(text: str) -> What:
    try:
        return What(text)
    except ValueError:
        raise Malformed(f"“{text}” is no kind of row. Use one of: {', '.join(What)}.") from None


def _check_step(row: Row) -> None:
    if row.what in NAMING and not row.step and row.what is not What.NEXT:
        raise Malformed(f"A row of “{row.what}” has to name its step.")
    if row.what not in NAMING and row.what is not What.START and row.step:
        raise Malformed(f"A row of “{row.what}” has no step; leave the third cell blank.")


VALUES: dict[What, Callable[[Row], object]] = {
    What.PAUSE: last_day,
    What.MINUTES: ceiling_of,
    What.ZONE: lambda row: checked_zone(row.value),
    What.DAY_STARTS: lambda row: hour_of(row.value),
    What.ADD: lambda row: step_from(row.step, table_of(row)),
    What.ADJUST: lambda row: check_changes(table_of(row)),
}


def _check_value(row: Row) -> None:
    if row.what in VALUELESS and row.value:
        raise Malformed(f"A row of “{row.what}” has no value; leave the fourth cell blank.")
    if row.what is What.RESUME and row.value not in CHOICES:
        raise Malformed(f"“{row.value}” cannot be resumed with. Leave it blank, or write all or one.")
    check = VALUES.get(row.what)
    if check is not None:
        check(row)


@dataclass(slots=True)
class _Known:
    """What the rows so far have made known, and what others name too.

    Attributes:
        steps: Ids of the steps there are by now.
        added: Ids of the steps that the log adds on any date.
        unread: Ids that stand in rows with a fault, which may have been meant to add them.
    """

    course: Course
    today: date
    started: date
    steps: set[str]
    added: frozenset[str]
    unread: frozenset[str]


def check_log(log: ReadLog, course: Course, today: date, name: str = "log.csv") -> tuple[Fault, ...]:
    """Everything that is wrong with a log: unreadable rows, its start, steps nobody knows, marks out of time.

    Args:
        log: A log as it was read.
        course: The course it is for.
        today: The household's current date; marks cannot lie after it.
        name: What the file is called in the faults.
    """
    starts = [(line, row) for line, row in zip(log.lines, log.rows, strict=True) if row.what is What.START]
    if not starts and log.faults:
        return log.faults
    if len(starts) != 1:
        line = starts[1][0] if starts else None
        several = Fault(name, line, f"A log has one row of “start”; this one has {len(starts)}.")
        return _in_order((*log.faults, several))
    known = _known(log, course, today, starts[0][1].date)
    faults = list(log.faults)
    for line, row in _by_date(log):
        try:
            _check_row(row, known)
        except Malformed as error:
            faults.append(Fault(name, line, str(error)))
    return _in_order(faults)


def _known(log: ReadLog, course: Course, today: date, started: date) -> _Known:
    steps = {step.id for step in course.steps}
    added = frozenset(row.step for row in log.rows if row.what is What.ADD)
    return _Known(course, today, started, steps, added, log.unread)


def _in_order(faults: Iterable[Fault]) -> tuple[Fault, ...]:
    return tuple(sorted(faults, key=lambda fault: fault.line or 0))


def _by_date(log: ReadLog) -> Sequence[tuple[int, Row]]:
    """Rows in the order in which they take effect: by date, decisions before marks."""
    numbered = zip(log.lines, log.rows, strict=True)
    return sorted(numbered, key=lambda pair: (pair[1].date, pair[1].what in MARKING))


def _check_row(row: Row, known: _Known) -> None:
    if row.what is What.START:
        _check_start(row, known)
    elif row.what in MARKING:
        _check_mark(row, known)
    elif row.what is What.ADD:
        _add(row, known)
    elif row.step and row.step not in known.steps | known.unread:
        raise Malformed(_no_step(row.step))


def _no_step(step: str) -> str:
    return f"There is no step “{step}” on that date. Check its id, or add the step in an earlier row."


def _check_start(row: Row, known: _Known) -> None:
    first = known.course.step(row.step)
    if row.date > known.today:
        raise Malformed(f"The start on {row.date} lies in the future.")
    if known.today.year - row.date.year > LONGEST_YEARS:
        raise Malformed(f"The start on {row.date} lies more than {LONGEST_YEARS} years back. Check its year.")
    if row.step and (first is None or not first.is_root):
        roots = ", ".join(root.id for root in known.course.roots)
        raise Malformed(f"“{row.step}” is no step to begin with. Choose one of: {roots}.")
    if row.value and row.value not in known.course.paces:
        raise Malformed(f"There is no pace “{row.value}”. Choose one of: {', '.join(known.course.paces)}.")


def _check_mark(row: Row, known: _Known) -> None:
    if row.date < known.started:
        raise Malformed(f"This mark lies before the start on {known.started}.")
    if row.date > known.today:
        raise Malformed(f"This mark lies in the future; today is {known.today}.")
    # A mark on a step that is added later does nothing (rules §5.6), and so does no harm.
    if row.step not in known.steps | known.added | known.unread:
        raise Malformed(_no_step(row.step))


def _add(row: Row, known: _Known) -> None:
    if row.step in known.steps:
        raise Malformed(f"There is a step “{row.step}” already; choose another id.")
    fault = id_fault(row.step)
    if fault:
        raise Malformed(fault)
    step = step_from(row.step, table_of(row))
    names = known.steps | known.unread
    unknown = [name for name in (*step.after, *step.after_any) if name not in names]
    if unknown:
        raise Malformed(f"“{row.step}” comes after “{unknown[0]}”, which is no step on that date.")
    known.steps.add(row.step)
