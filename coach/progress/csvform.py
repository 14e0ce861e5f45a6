"""The log as CSV (rules §7): written for export, read back row by row with every fault named."""

from __future__ import annotations

import codecs
import csv
import io
from dataclasses import dataclass, field
from datetime import date
from typing import TYPE_CHECKING, TextIO

from coach.course.definition import check_changes, id_fault, step_from
from coach.errors import Faults, Malformed
from coach.progress.days import LONGEST_YEARS, checked_zone, hour_of, is_too_late, iso_date
from coach.progress.decisions import CHOICES, ceiling_of, last_day, table_of
from coach.progress.faults import FirstFaults
from coach.progress.journal import Version
from coach.progress.log import MARKING, MOST_OWN_STEPS, Row, What

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Sequence

    from coach.course.model import Course

HEADER = ("date", "what", "step", "value")
KINDS = {what.value: what for what in What}
NAMING = MARKING | {What.SET_ASIDE, What.RESTORE, What.NEXT, What.ADD, What.ADJUST}
VALUELESS = MARKING | {What.SET_ASIDE, What.RESTORE, What.NEXT}
LONGEST_LINE = 1_000_000
CHUNK = 65_536
MOST_UNREAD = 10_000
QUOTES = "Look for a double quote that is not closed, or not doubled inside a value."


@dataclass(frozen=True, slots=True)
class ReadLog:
    """What a CSV text held: its good rows with their lines, and its faults.

    Attributes:
        faults: The first of them, and the number of the rest.
        unread: What stood in the third cell of the rows with a fault, as far as it was kept.
    """

    rows: tuple[Row, ...]
    lines: tuple[int, ...]
    faults: Faults
    unread: frozenset[str] = frozenset()


def write_log(rows: Iterable[Row]) -> str:
    """The log as CSV text with its header, in the order written (RFC 4180)."""
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow(HEADER)
    writer.writerows((row.date.isoformat(), row.what.value, row.step, row.value) for row in rows)
    return text.getvalue()


def text_of(content: bytes, name: str = "the file") -> TextIO:
    """The text of a file, to be read line by line; it is never in memory as a whole.

    Raises:
        Malformed: It is not UTF-8.
    """
    decoder = codecs.getincrementaldecoder("utf-8")()
    for place in range(0, len(content) + 1, CHUNK):
        begun = len(decoder.getstate()[0])
        try:
            decoder.decode(content[place : place + CHUNK], final=place + CHUNK > len(content))
        except UnicodeDecodeError as error:
            line = content.count(b"\n", 0, place - begun + error.start) + 1
            raise Malformed(
                f"Line {line} of {name} is not UTF-8 text. Save the file as CSV in UTF-8 and try again."
            ) from None
    return io.TextIOWrapper(io.BytesIO(content), encoding="utf-8-sig", newline="")


def read_log(text: str | TextIO, name: str = "log.csv") -> ReadLog:
    """Read CSV text; each row is checked by itself, and a row with a fault is left out.

    Args:
        text: The whole file, with or without a byte order mark, or what reads it line by line.
        name: What the file is called in the faults.
    """
    lines = io.StringIO(text.removeprefix("\ufeff"), newline="") if isinstance(text, str) else text
    reader = csv.reader(_bounded(lines), strict=True)
    taken = _Taken(FirstFaults(name))
    line = 1
    try:
        _check_header(next(reader, []))
        line = reader.line_num + 1
        for cells in reader:
            if cells:
                taken.take(cells, line)
            line = reader.line_num + 1
    except Malformed as error:
        taken.faults.add(line, str(error))
    except csv.Error as error:
        taken.faults.add(line, f"From here on this is no CSV: {error}. {QUOTES}")
    return taken.log()


def _bounded(lines: Iterable[str]) -> Iterator[str]:
    """The lines; one that would take too much memory as cells ends them."""
    for line in lines:
        if len(line) > LONGEST_LINE:
            raise csv.Error(f"a line of more than {LONGEST_LINE} characters")
        yield line


@dataclass(slots=True)
class _Taken:
    """What has been read so far; whatever repeats from row to row is held once."""

    faults: FirstFaults
    rows: list[Row] = field(default_factory=list)
    lines: list[int] = field(default_factory=list)
    unread: set[str] = field(default_factory=set)
    dates: dict[str, date] = field(default_factory=dict)
    texts: dict[str, str] = field(default_factory=dict)

    def take(self, cells: list[str], line: int) -> None:
        """Read one row, or note why it cannot be."""
        try:
            row = self._row(cells)
        except Malformed as error:
            self.faults.add(line, str(error))
            if len(self.unread) < MOST_UNREAD:
                self.unread.update(cell.strip() for cell in cells[2:3])
        else:
            self.rows.append(row)
            self.lines.append(line)

    def log(self) -> ReadLog:
        """All of it."""
        return ReadLog(tuple(self.rows), tuple(self.lines), self.faults.found(), frozenset(self.unread))

    def _row(self, cells: list[str]) -> Row:
        if len(cells) != len(HEADER):
            raise Malformed(
                f"This row has {len(cells)} cells instead of 4. Put a value with commas in double quotes."
            )
        day, what, step, value = map(str.strip, cells)
        row = Row(self._date(day), _what(what), self.texts.setdefault(step, step), value)
        if row.what in MARKING and step and not value:
            return row
        _check_step(row)
        _check_value(row)
        return row

    def _date(self, text: str) -> date:
        day = self.dates.get(text)
        if day is None:
            day = self.dates[text] = iso_date(text)
        return day


def _check_header(cells: list[str]) -> None:
    if tuple(cell.strip() for cell in cells) != HEADER:
        raise Malformed(f"The first line has to be “{','.join(HEADER)}”, with commas between.")


def _what(text: str) -> What:
    what = KINDS.get(text)
    if what is None:
        raise Malformed(f"“{text}” is no kind of row. Use one of: {', '.join(What)}.")
    return what


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
        versions: The course's versions that have not begun yet, the oldest first.
        steps: Ids of the steps there are by now; one that vanished stays with those who have it.
        former: Ids that some of them had in earlier versions of the course.
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
    added: frozenset[str]
    unread: frozenset[str]
    own: dict[str, int] = field(default_factory=dict)

    def follow(self, day: date) -> None:
        """Take in the versions of the course that hold by a date."""
        while self.versions and self.versions[0].since <= day:
            course = self.versions.pop(0).course
            self.steps.update(step.id for step in course.steps)
            self.former.update(_former(course))

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
    return _Known(course, later, today, start.date, steps, former, frozenset(added), log.unread)


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
    if row.value and row.value not in known.course.paces:
        raise Malformed(f"There is no pace “{row.value}”. Choose one of: {', '.join(known.course.paces)}.")


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
