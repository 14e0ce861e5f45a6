"""The log as it was before an import, kept in the household's plan where no file can be kept beside it."""

from __future__ import annotations

import base64
import json
import zlib
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from coach.errors import Malformed, Unknown
from coach.ground.kept import Kept
from coach.ground.ports import Asked, CourseVersion, PlanRow
from coach.progress.csvform import write_log
from coach.progress.days import iso_date

if TYPE_CHECKING:
    from coach.ground.ports import Context, Reading, Writing

KIND = "kept-log"
NAME = "log"
PLACE = "the database"


@dataclass(frozen=True, slots=True)
class KeptLog:
    """A log with what it was followed with.

    Attributes:
        at: When it was kept.
        text: The log as CSV.
        courses: The versions of the course that it was followed with, each with its content.
    """

    at: datetime
    text: str
    courses: tuple[tuple[CourseVersion, str], ...]


def contents_of(reading: Reading) -> list[tuple[CourseVersion, str]]:
    """The versions of the course that a household follows, each with its content."""
    return [(version, reading.course_content(version.digest)) for version in reading.courses()]


def keep_log(context: Context, writing: Writing) -> Kept:
    """Keep the log and the course's versions as they are, in place of the ones kept before."""
    at = context.clock()
    courses = [[str(one.since), one.digest, content] for one, content in contents_of(writing)]
    held = {"at": at.isoformat(), "log": write_log(writing.rows()), "courses": courses}
    # A log says much the same on every day, so that a tenth of its length is enough.
    packed = base64.b85encode(zlib.compress(json.dumps(held).encode())).decode()
    writing.put_plan([PlanRow(at.date(), KIND, NAME, packed)], at)
    return Kept(NAME, at, "import", PLACE)


def kept_log(reading: Reading) -> KeptLog | None:
    """The log that was kept last, if there is one."""
    [found] = reading.plans([Asked(KIND, NAME, NAME)])
    if not found:
        return None
    try:
        held = json.loads(zlib.decompress(base64.b85decode(found[0][1])))
        courses = tuple(
            (CourseVersion(iso_date(since), digest), content) for since, digest, content in held["courses"]
        )
        return KeptLog(datetime.fromisoformat(held["at"]), held["log"], courses)
    except (ValueError, KeyError, TypeError, zlib.error) as error:
        raise Malformed("The log that was kept cannot be read any more.") from error


def required_log(reading: Reading) -> KeptLog:
    """The log that was kept last.

    Raises:
        Unknown: There is none.
    """
    found = kept_log(reading)
    if found is None:
        raise Unknown("No log was kept here.")
    return found
