"""The log as CSV (rules §7): written for export, read back row by row with every fault named."""

from __future__ import annotations

import codecs
import csv
import io
from array import array
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, TextIO

from coach.course.definition import check_changes, step_from
from coach.errors import Faults, Malformed
from coach.progress.days import checked_zone, hour_of, iso_date
from coach.progress.decisions import CHOICES, ceiling_of, last_day, table_of
from coach.progress.faults import FirstFaults
from coach.progress.log import MARKING, Row, What
from coach.progress.paces import named_pace

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Sequence
    from datetime import date


HEADER = ("date", "what", "step", "value")
SIGNED_HEADER = (*HEADER, "by")
"""With a fifth column of names, which is written for people and read by nobody."""
FORMULAS = ("=", "+", "-", "@")
"""How a cell begins that a spreadsheet would work out; a name that does stands behind an apostrophe."""
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
    lines: Sequence[int]
    faults: Faults
    unread: frozenset[str] = frozenset()


def write_log(rows: Iterable[Row], names: Sequence[str] = ()) -> str:
    """The log as CSV text with its header, in the order written (RFC 4180).

    Args:
        rows: The rows.
        names: Who wrote each; the column is left out where none has a name.
    """
    text = io.StringIO()
    writer = csv.writer(text)
    if any(names):
        writer.writerow(SIGNED_HEADER)
        writer.writerows(
            (row.date.isoformat(), row.what.value, row.step, row.value, _harmless(name))
            for row, name in zip(rows, names, strict=True)
        )
        return text.getvalue()
    writer.writerow(HEADER)
    writer.writerows((row.date.isoformat(), row.what.value, row.step, row.value) for row in rows)
    return text.getvalue()


def _harmless(name: str) -> str:
    # Nobody reads the name back, so it may differ from what it is.
    return f"'{name}" if name.startswith(FORMULAS) else name


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
        taken.width = _width_of(next(reader, []))
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
    width: int = len(HEADER)
    rows: list[Row] = field(default_factory=list)
    # A long log has as many lines as rows, and as Python's numbers they would weigh as much as those.
    lines: array[int] = field(default_factory=lambda: array("I"))
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
        return ReadLog(tuple(self.rows), self.lines, self.faults.found(), frozenset(self.unread))

    def _row(self, cells: list[str]) -> Row:
        if len(cells) != self.width:
            raise Malformed(
                f"This row has {len(cells)} cells instead of {self.width}. "
                "Put a value with commas in double quotes."
            )
        day, what, step, value = map(str.strip, cells[: len(HEADER)])
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


def _width_of(cells: list[str]) -> int:
    """How many cells a row has by the header."""
    if tuple(cell.strip() for cell in cells) not in {HEADER, SIGNED_HEADER}:
        raise Malformed(f"The first line has to be “{','.join(HEADER)}”, with commas between.")
    return len(cells)


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
    What.PACE: named_pace,
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
