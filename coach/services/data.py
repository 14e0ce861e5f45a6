"""A household's own data: the log out, a log in, and everything gone."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from coach.course.jsonform import course_json
from coach.errors import Fault, FaultyFile, Malformed
from coach.progress.csvform import ReadLog, check_log, read_log, write_log
from coach.progress.days import FIRST_HOUR, FIRST_ZONE, ONE_DAY, hour_of
from coach.progress.log import Row, What
from coach.services.ports import Household
from coach.services.results import Imported
from coach.services.situation import started_home, today_of
from coach.services.start import first_version
from coach.services.writing import save_standings

if TYPE_CHECKING:
    from collections.abc import Sequence

    from coach.services.ports import Context

LONGEST = 20_000_000


def export(context: Context, household: str) -> str:
    """The log as CSV (rules §7).

    Raises:
        NotStarted: The household has not chosen its first step.
    """
    with context.store.reading(household) as reading:
        started_home(reading.household())
        return write_log(reading.rows())


def load(context: Context, household: str, text: str, name: str = "log.csv") -> Imported:
    """Put a log in the place of the household's own: every row of it, or, with any fault, none.

    What is planned stays, and so does the day its week begins on, because neither is in a log.

    Args:
        context: Store, lessons and clock.
        household: Its key.
        text: CSV with the header of rules §7.
        name: What the file is called in the faults.

    Raises:
        FaultyFile: Rows cannot be read or used; each is named with its line and the reason.
        Malformed: The text is too long.
    """
    if len(text) > LONGEST:
        raise Malformed(f"A log of more than {LONGEST // 1_000_000} million characters is not read.")
    log = read_log(text, name)
    course = context.library.course(context.course)
    home = _home(context, household, log.rows)
    _refuse(check_log(log, course, today_of(context, home), name))
    start = next(row.date for row in log.rows if row.what is What.START)
    with context.store.writing(household) as writing:
        before = writing.household()
        week_starts = home.week_starts if before is None else before.week_starts
        writing.replace_log(replace(home, week_starts=week_starts), log.rows, context.clock())
        writing.add_course(first_version(course, start), course_json(course))
        save_standings(context, writing)
    return _imported(log)


def forget(context: Context, household: str) -> None:
    """Delete everything of a household; the start page comes next."""
    with context.store.writing(household) as writing:
        writing.clear()


def _refuse(faults: tuple[Fault, ...]) -> None:
    if faults:
        raise FaultyFile(faults)


def _home(context: Context, household: str, rows: Sequence[Row]) -> Household:
    """The household's own row for a log: the zone and the hour that its last rows so far put in force."""
    zone, hour = FIRST_ZONE, FIRST_HOUR
    # Somewhere on earth it may be tomorrow already; what is dated later has not been decided yet.
    latest = (context.pretend or context.clock().date()) + ONE_DAY
    for row in sorted((row for row in rows if row.date <= latest), key=lambda row: row.date):
        if row.what is What.ZONE:
            zone = row.value
        elif row.what is What.DAY_STARTS:
            hour = hour_of(row.value)
    return Household(household, context.course, zone, hour, 0)


def _imported(log: ReadLog) -> Imported:
    dates = [row.date for row in log.rows]
    return Imported(len(dates), min(dates, default=None), max(dates, default=None))
