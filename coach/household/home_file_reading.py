"""A household's file as somebody brings it: every part bounded, every fault named, nothing believed."""

from __future__ import annotations

import io
import json
import zipfile
import zlib
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any, NoReturn

from coach.course.shapes import UNREADABLE, shape
from coach.errors import Faults, FaultyFile, Malformed
from coach.ground.plan_rows import PlannedRow, PlanRow
from coach.ground.ports import CourseVersion, Household
from coach.ground.rows import WrittenRow
from coach.ground.versions import readable
from coach.ground.weeks import WeekStart
from coach.household.home_file import FORM, HOME, LOG, PACKED, PLAN, WRITTEN, HomeFile, Named
from coach.household.kept_log import KIND
from coach.household.names import tidy_name
from coach.progress.csvform import ReadLog, read_log, text_of
from coach.progress.days import checked_zone, hour_of, iso_date
from coach.progress.faults import FirstFaults

if TYPE_CHECKING:
    from collections.abc import Iterator

LONGEST_FILE = 32 * 1024 * 1024
"""Bytes of the file as it comes."""

LONGEST_PART = 64 * 1024 * 1024
"""Bytes of one of its parts, unpacked; a log of ten years has two million."""

LONGEST_WHOLE = 128 * 1024 * 1024
"""Bytes of all its parts together, unpacked."""

LONGEST_COURSE = 4 * 1024 * 1024
"""Bytes of one version of the course."""

MOST_PARTS = 500
"""How many parts a file has at most."""

MOST_ROWS = 200_000
"""Rows of the log, and rows of the plan; ten years of twenty lines a day have 73,000."""

MOST_VALUES = 2_000_000
"""Values of a part that is JSON, as its brackets and commas tell: once read each takes a hundred bytes."""

MOST_PEOPLE = 200
"""How many people are named at most."""

MOST_STEPS = 1_000
"""Steps of one version of the course."""

LONGEST_ID = 200
"""Characters of a person's key, of a course's name, and of a kind or a key of the plan."""

_HOME = shape(
    {
        "steading": str,
        "form": int,
        "name": str,
        "course": str,
        "zone": str,
        "day_starts": str,
        "week_starts": str,
        "people": [{"id": str, "name": str, "role": (str, None), "since": (str, None)}],
        "versions": [{"since": str, "digest": str, "file": str}],
    }
)
_WRITTEN = shape({"at": str, "by": str, "tapped_at": (str, None), "imported": bool})
_PLANNED = shape({"date": str, "what": str, "key": str, "value": str, "at": str, "by": str})
_BROKEN = (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError, OSError)
_PLAIN = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)
_ROLES = ("keeper", "member", None)

NONE = Faults()
MISFIT = "This row lacks a value, or one of them is of another kind."
NOBODY = "One of the people has no name, no key, or belongs to the household in no way."

NOT_OURS = "This is no file that Steading wrote for a household that takes its data along."


@dataclass(slots=True)
class _Read:
    """What was read so far, and what is wrong with it, part by part."""

    parts: dict[str, bytes]
    found: dict[str, FirstFaults] = field(default_factory=dict)

    def fault(self, part: str, reason: str, line: int | None = None) -> None:
        """Note something wrong."""
        self.found.setdefault(part, FirstFaults(part)).add(line, reason)

    def faults(self, log: Faults = NONE) -> FaultyFile:
        """Everything that is wrong."""
        return FaultyFile(Faults.of(*(one.found() for one in self.found.values()), log))


def read_home(content: bytes, household: str) -> tuple[HomeFile, ReadLog]:
    """The file, and its log with the lines its rows stand on.

    Args:
        content: The bytes of the file.
        household: The key of the household that it is for.

    Raises:
        Malformed: It is no such file, or larger than is read.
        FaultyFile: Parts of it cannot be read; all of them are named.
    """
    read = _Read(_unpacked(content))
    values = _home_values(read)
    # Before they are read, since it is reading them that takes memory.
    if max(map(read.parts[LOG].count, (b"\n", b"\r"))) > MOST_ROWS:
        raise Malformed(f"{LOG} has more lines than are read: at most {MOST_ROWS}. Nothing was changed.")
    log = read_log(text_of(read.parts[LOG], LOG), LOG)
    written = list(_rows(read, WRITTEN, _WRITTEN, _pen))
    plan = [one for one in _rows(read, PLAN, _PLANNED, _planned) if one.row.what != KIND]
    people = tuple(_people(read, values))
    courses = tuple(_courses(read, values))
    home = _household(read, values, household)
    if not log.faults and len(written) != len(log.rows) and not read.found:
        read.fault(WRITTEN, f"It says of {len(written)} rows who wrote them; {LOG} has {len(log.rows)}.")
    if log.faults or read.found or home is None:
        raise read.faults(log.faults)
    rows = [
        WrittenRow(row, pen.at, pen.by, pen.tapped_at, pen.imported)
        for row, pen in zip(log.rows, written, strict=True)
    ]
    name = tidy_name(values["name"])
    return HomeFile(name, home, people, rows, plan, courses, read.parts.get(PACKED, b"")), log


def _unpacked(content: bytes) -> dict[str, bytes]:
    """The parts of the file by name, none of them larger than it may be."""
    if len(content) > LONGEST_FILE:
        raise Malformed(f"A file of more than {LONGEST_FILE // 1024 // 1024} MiB is not read.")
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as file:
            parts = dict(_each_part(file))
    except (*_BROKEN, *UNREADABLE) as error:
        raise Malformed(NOT_OURS) from error
    missing = [name for name in (HOME, LOG, WRITTEN, PLAN) if name not in parts]
    if missing:
        raise Malformed(f"{NOT_OURS} It lacks {', '.join(missing)}.")
    return parts


def _each_part(file: zipfile.ZipFile) -> Iterator[tuple[str, bytes]]:
    infos = file.infolist()
    names = [one.filename for one in infos]
    if len(names) > MOST_PARTS or len(set(names)) < len(names):
        raise Malformed(f"{NOT_OURS} It has too many parts, or one of them twice.")
    if any(one.compress_type not in _PLAIN for one in infos):
        raise Malformed(f"{NOT_OURS} One of its parts is packed in another way.")
    left = LONGEST_WHOLE
    for one in infos:
        most = min(left, LONGEST_COURSE if one.filename.startswith("courses/") else LONGEST_PART)
        with file.open(one) as part:
            # What it says of its length is not believed: it is read no further than it may go.
            content = part.read(most + 1)
        if len(content) > most:
            raise Malformed(f"{one.filename} in this file is larger than is read, so nothing was changed.")
        left -= len(content)
        yield one.filename, content


def _home_values(read: _Read) -> dict[str, Any]:
    """What home.json says.

    Raises:
        FaultyFile: It cannot be read at all, so that nothing else can be.
    """
    values = _json(read, HOME)
    if isinstance(values, dict) and values.get("steading") == "home" and values.get("form") != FORM:
        raise Malformed(
            f"This file has the form {str(values.get('form'))[:20]}; this Steading reads form {FORM}. "
            "Bring Steading up to date, or take the file from one that is as old as this."
        )
    if not _HOME(values) or values["steading"] != "home":
        read.fault(HOME, NOT_OURS)
        raise read.faults()
    result: dict[str, Any] = values
    return result


def _json(read: _Read, part: str) -> Any:  # noqa: ANN401  JSON of any shape
    if sum(map(read.parts[part].count, (b"[", b"{", b","))) > MOST_VALUES:
        raise Malformed(f"{part} has more values than are read: at most {MOST_VALUES}. Nothing was changed.")
    try:
        return json.loads(read.parts[part])
    except UNREADABLE:
        read.fault(part, "This is no JSON.")
        return None


def _bound(read: _Read, part: str, number: int, most: int, what: str) -> None:
    if number > most:
        read.fault(part, f"It has {number} {what}; at most {most} are read.")


def _rows(read: _Read, part: str, fits: Any, made: Any) -> Iterator[Any]:  # noqa: ANN401  of two kinds
    rows = _json(read, part)
    if not isinstance(rows, list):
        read.fault(part, "A list with one row on each line was expected.")
        return
    _bound(read, part, len(rows), MOST_ROWS, "rows")
    for line, row in enumerate(rows[:MOST_ROWS], start=2):
        try:
            yield made(row) if fits(row) else _refused(MISFIT)
        except Malformed as error:
            read.fault(part, str(error), line)
        except UNREADABLE:
            read.fault(part, "A date, an instant or a text in this row cannot be read.", line)


def _refused(reason: str) -> NoReturn:
    raise Malformed(reason)


def _instant(text: str) -> datetime:
    at = datetime.fromisoformat(text)
    if at.utcoffset() is None:
        raise Malformed("An instant needs its offset from UTC, as in 2027-01-04T08:00:00+00:00.")
    return at.astimezone(UTC)


def _key(text: str) -> str:
    if len(text) > LONGEST_ID or not text.isprintable():
        raise Malformed("A person's key cannot be read.")
    return text


def _pen(row: dict[str, Any]) -> WrittenRow:
    tapped = None if row["tapped_at"] is None else _instant(row["tapped_at"])
    # The row itself is put in when the log has been read.
    return WrittenRow(None, _instant(row["at"]), _key(row["by"]), tapped, row["imported"])  # type: ignore[arg-type]


def _planned(row: dict[str, Any]) -> PlannedRow:
    if max(len(row["what"]), len(row["key"])) > LONGEST_ID or any("\0" in text for text in row.values()):
        raise Malformed("A kind or a key of the plan is too long, or a text holds a NUL character.")
    "".join(row.values()).encode()
    planned = PlanRow(iso_date(row["date"]), row["what"], row["key"], row["value"])
    return PlannedRow(planned, _instant(row["at"]), _key(row["by"]))


def _people(read: _Read, values: dict[str, Any]) -> Iterator[Named]:
    people = values["people"]
    _bound(read, HOME, len(people), MOST_PEOPLE, "people")
    if len({one["id"] for one in people}) < len(people):
        read.fault(HOME, "Two people have the same key.")
    for one in people[:MOST_PEOPLE]:
        try:
            name, role = tidy_name(one["name"]), one["role"]
            if not name or not one["id"] or role not in _ROLES:
                _refused(NOBODY)
            since = _instant(one["since"]) if one["since"] else None
            yield Named(_key(one["id"]), name, role, since)
        except Malformed as error:
            read.fault(HOME, str(error))
        except UNREADABLE:
            read.fault(HOME, "When somebody joined cannot be read.")


def _courses(read: _Read, values: dict[str, Any]) -> Iterator[tuple[CourseVersion, str]]:
    versions = values["versions"]
    dates = [one["since"] for one in versions]
    if not versions or len(set(dates)) < len(dates):
        read.fault(HOME, "Versions of the course are missing, or two begin on the same date.")
    for one in versions:
        try:
            version = CourseVersion(iso_date(one["since"]), one["digest"])
            content = read.parts[one["file"]].decode()
            course = readable(version, content)
            _bound(read, one["file"][:60], len(course.steps), MOST_STEPS, "steps")
            yield version, content
        except (Malformed, *UNREADABLE):
            read.fault(one["file"][:60], "This version of the course cannot be read.")


def _household(read: _Read, values: dict[str, Any], household: str) -> Household | None:
    try:
        zone, hour = checked_zone(values["zone"]), hour_of(values["day_starts"])
        starts = WeekStart(values["week_starts"]).value
        if not values["course"] or len(values["course"]) > LONGEST_ID:
            _refused("The course has no name, or too long a one.")
        tidy_name(values["name"], "The household's name")
        return Household(household, values["course"], zone, hour, 0, starts)
    except Malformed as error:
        read.fault(HOME, str(error))
    except UNREADABLE:
        read.fault(HOME, "The day on which its weeks begin cannot be read.")
    return None
