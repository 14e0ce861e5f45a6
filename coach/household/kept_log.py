"""The log as it was before an import, kept in the household's plan where no file can be kept beside it."""

from __future__ import annotations

import base64
import json
import zlib
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Any

from coach.errors import Malformed, Unknown
from coach.ground.kept import Kept
from coach.ground.plan_rows import Asked, PlanRow
from coach.ground.ports import CourseVersion
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
        home: The whole home as one file, where the plan was replaced too; the two before are empty then.
    """

    at: datetime
    text: str
    courses: tuple[tuple[CourseVersion, str], ...]
    home: bytes = b""


def contents_of(reading: Reading) -> list[tuple[CourseVersion, str]]:
    """The versions of the course that a household follows, each with its content."""
    return [(version, reading.course_content(version.digest)) for version in reading.courses()]


def keep_log(context: Context, writing: Writing) -> Kept:
    """Keep the log and the course's versions as they are, in place of the ones kept before."""
    at = context.clock()
    courses = [[str(one.since), one.digest, content] for one, content in contents_of(writing)]
    held = {"at": at.isoformat(), "log": write_log(writing.rows()), "courses": courses}
    writing.put_plan([_row(at, held)], at)
    return Kept(NAME, at, "import", PLACE)


def home_row(at: datetime, content: bytes) -> PlanRow:
    """The row of the plan that keeps a whole home, in place of what was kept before."""
    home = base64.b85encode(content).decode()
    return _row(at, {"at": at.isoformat(), "log": "", "courses": [], "home": home})


def _row(at: datetime, held: dict[str, Any]) -> PlanRow:
    # A log says much the same on every day, so that a tenth of its length is enough.
    packed = base64.b85encode(zlib.compress(json.dumps(held).encode())).decode()
    return PlanRow(at.date(), KIND, NAME, packed)


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
        home = base64.b85decode(held.get("home", ""))
        return KeptLog(datetime.fromisoformat(held["at"]), held["log"], courses, home)
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
