"""A household's own data: the log out, a log in, and everything gone."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import groupby
from typing import TYPE_CHECKING

from coach.course.jsonform import course_json
from coach.errors import FaultyFile, Malformed, NotEditable, NotStarted, Unknown
from coach.ground.ports import CourseVersion, Household
from coach.ground.situation import remembered, started_home, today_of
from coach.ground.versions import present, timeline, usual
from coach.ground.writing import save_standings
from coach.household.answers import Ahead, Brought, Imported
from coach.household.comparing import Holding, compare, holding
from coach.household.kept_log import contents_of, keep_log
from coach.household.places import places_in
from coach.household.start import first_version
from coach.household.steps_that_left import with_steps_that_left
from coach.progress.csvform import ReadLog, read_log, text_of, write_log
from coach.progress.days import FIRST_HOUR, FIRST_ZONE, ONE_DAY, hour_of
from coach.progress.log import Row, What
from coach.progress.log_check import check_log

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from datetime import date

    from coach.course.model import Course
    from coach.ground.kept import Kept
    from coach.ground.ports import Context, Reading, Writing
    from coach.ground.situation import Situation
    from coach.household.answers import Comparison

LONGEST = 20_000_000
CHANGED = "Something was changed here since you looked, so nothing was replaced. Here it is as it stands now."


@dataclass(frozen=True, slots=True)
class _Ready:
    """A log without a fault, with what it is going to be followed with."""

    log: ReadLog
    home: Household
    versions: Sequence[tuple[CourseVersion, str]]


def export(context: Context, household: str) -> str:
    """The log as CSV (rules §7), with names where somebody who has one wrote a row.

    Raises:
        NotStarted: The household has not chosen its first step.
    """
    with context.store.reading(household) as reading:
        started_home(reading.household())
        rows, names = reading.rows(), reading.names()
        # Of a damaged log some rows are left out, and then it is not known whose the others are.
        return write_log(rows, names if len(names) == len(rows) else ())


def places_and_ahead(context: Context, household: str) -> tuple[tuple[str, ...], Ahead | None]:
    """The pages that are open, and the rows dated after today, out of one reading; none before the start."""

    def work(where: Situation) -> tuple[tuple[str, ...], Ahead | None]:
        return places_in(where).open, ahead_in(where)

    try:
        return remembered(context, household, "data", work)
    except NotStarted:
        return (), None


def ahead_in(where: Situation) -> Ahead | None:
    """The rows dated after today by the clock, which take effect when their dates come; None without any."""
    today = today_of(where.context, where.home)
    rows = where.reading.rows(today + ONE_DAY)
    if not rows:
        return None
    start = next((row.date for row in rows if row.what is What.START), None)
    dates = [row.date for row in rows]
    return Ahead(today, len(rows), min(dates), max(dates), start)


def preview(context: Context, household: str, log: str | bytes, name: str = "log.csv") -> Comparison:
    """What a log holds beside what is here; nothing is changed.

    Raises:
        FaultyFile: Rows cannot be read or used.
        Malformed: The text is too long, or is not UTF-8.
    """
    read = _read(log, name)
    with context.store.reading(household) as reading:
        ready = _ready(context, reading, household, read, name)
        return compare(holding(reading, with_plan=False), Holding(ready.log.rows))


def load(context: Context, household: str, log: str | bytes, name: str = "log.csv") -> Imported:
    """Put a log in the place of the household's own: as `bring_in` does, whatever is here."""
    read = _read(log, name)
    # A long log's own bytes are as much as half of what is made of them, and nobody needs them any more.
    del log
    return _brought(context, household, read, name).imported


def bring_in(
    context: Context, household: str, log: str | bytes, name: str = "log.csv", seen: int | None = None
) -> Brought:
    """Put a log in the place of the household's own: every row of it, or, with any fault, none.

    What is planned stays, and so does the day its week begins on, because neither is in a log. A copy of what
    was there is kept first.

    Args:
        context: Store, lessons and clock.
        household: Its key.
        log: CSV with the header of rules §7, as text or as the bytes of a file.
        name: What the file is called in the faults.
        seen: The version for which a comparison was shown; none: whatever is here.

    Raises:
        FaultyFile: Rows cannot be read or used; the first are named with their line and the reason.
        Malformed: The text is too long, or is not UTF-8.
        NotEditable: What is here is another version than the one seen.
    """
    read = _read(log, name)
    del log
    return _brought(context, household, read, name, seen)


def _brought(context: Context, household: str, read: ReadLog, name: str, seen: int | None = None) -> Brought:
    with context.store.reading(household) as reading:
        ready = _ready(context, reading, household, read, name)
    with context.store.writing(household) as writing:
        before = writing.household()
        refuse_if_changed(before.version if before else 0, seen)
        kept = keep_copy(context, writing)
        put(context, writing, ready.home, ready.log.rows, ready.versions)
    return Brought(_imported(ready.log, today_of(context, ready.home)), kept)


def refuse_if_changed(version: int, seen: int | None) -> None:
    """Refuse to replace what nobody has looked at.

    Raises:
        NotEditable: The household is at another version than the one seen.
    """
    if seen is not None and seen != version:
        raise NotEditable(CHANGED)


def keep_copy(context: Context, writing: Writing) -> Kept | None:
    """Keep what is here, while nobody else can write, before something takes its place."""
    if writing.household() is None:
        return None
    return context.copies.keep("import") if context.copies else keep_log(context, writing)


def put(
    context: Context,
    writing: Writing,
    home: Household,
    rows: Sequence[Row],
    versions: Sequence[tuple[CourseVersion, str]],
) -> None:
    """Let these rows be the log, followed with these versions of the course, each with its content."""
    before = writing.household()
    week_starts = home.week_starts if before is None else before.week_starts
    writing.replace_log(replace(home, week_starts=week_starts), rows, context.clock())
    for version, content in versions:
        writing.add_course(version, content)
    save_standings(context, writing)


def forget(context: Context, household: str) -> None:
    """Delete everything of a household, the copies that were kept of it too; the start page comes next.

    What it asked in a group goes too; of its days nothing stays but sums shown already.
    """
    with context.store.writing(household) as writing:
        writing.clear()
    if context.copies is not None:
        context.copies.forget()


def home_of(context: Context, household: str, rows: Sequence[Row], course: str) -> Household:
    """The household's own row for a log: the zone and the hour that its rows so far put in force.

    A row holds from the opening of its date, which what held before it decides. Those up to the start have
    nothing before them, and decide by themselves whether their date has come.
    """
    home = Household(household, course, FIRST_ZONE, FIRST_HOUR, 0)
    started = next((row.date for row in rows if row.what is What.START), None)
    moves = [row for row in rows if row.what in {What.ZONE, What.DAY_STARTS}]
    for day, moved in groupby(sorted(moves, key=lambda row: row.date), key=lambda row: row.date):
        later = _moved(home, moved)
        deciding = later if started is None or day <= started else home
        if day <= today_of(context, deciding):
            home = later
    return home


def _moved(home: Household, rows: Iterable[Row]) -> Household:
    for row in rows:
        if row.what is What.ZONE:
            home = replace(home, zone=row.value)
        else:
            home = replace(home, day_starts=hour_of(row.value))
    return home


def _read(log: str | bytes, name: str) -> ReadLog:
    if len(log) > LONGEST:
        raise Malformed(f"A log of more than {LONGEST // 1_000_000} million characters is not read.")
    return read_log(text_of(log, name) if isinstance(log, bytes) else log, name)


def _ready(context: Context, reading: Reading, household: str, log: ReadLog, name: str) -> _Ready:
    """The log with what it is followed with: the course as it is, or as the household has followed it.

    A step that vanished from the course stays with those who have it, so a log that names one is followed
    with the versions in which it was there; so is one that names two steps which the course has as one. Where
    the household has followed none of them, what stands in the catalogue by now goes on as a step of its own.
    """
    home = home_of(context, household, log.rows, context.course)
    today = today_of(context, home)
    course, followed = usual(context), reading.household()
    if course is None and followed is None:
        raise Unknown(f"There is no course “{context.course}” to follow a log with.")
    faults = check_log(log, course, today, name) if course else log.faults
    as_it_is = _Ready(log, home, _from_the_start(course, log.rows)) if course and not faults else None
    joined = course is not None and followed is not None and _joined(context, reading, followed, log, course)
    if as_it_is and not joined:
        return as_it_is
    if followed is not None and not log.faults:
        versions = _followed(context, reading, followed, today)
        held = timeline(context, followed, reading, [version for version, _ in versions]).versions
        other = check_log(log, held[-1].course, today, name, held) if held else faults
        if not other:
            return _Ready(log, replace(home, course=followed.course), versions)
        faults = faults or other
    if as_it_is:
        return as_it_is
    if course is not None and not log.faults:
        whole = with_steps_that_left(log, course, context.library.catalogue())
        if not check_log(whole, course, today, name):
            return _Ready(whole, home, _from_the_start(course, whole.rows))
    raise FaultyFile(faults)


def _from_the_start(course: Course, rows: Sequence[Row]) -> list[tuple[CourseVersion, str]]:
    start = next(row.date for row in rows if row.what is What.START)
    return [(first_version(course, start), course_json(course))]


def _joined(context: Context, reading: Reading, home: Household, log: ReadLog, course: Course) -> bool:
    """Whether a log names two steps of a version the household has followed that are one in the course."""
    named = {row.step for row in log.rows}
    for version in timeline(context, home, reading, reading.courses()).versions:
        steps = (course.named(step.id) for step in version.course.steps if step.id in named)
        meant = [step.id for step in steps if step is not None]
        if len(set(meant)) < len(meant):
            return True
    return False


def _followed(
    context: Context, reading: Reading, home: Household, today: date
) -> list[tuple[CourseVersion, str]]:
    """The versions of its course that a household has followed, and the present one if there is a new one."""
    stored, course = contents_of(reading), present(context, home)
    if course is not None and (not stored or stored[-1][0].digest != course.digest):
        since = max([today, *(version.since for version, _ in stored)])
        stored.append((CourseVersion(since, course.digest), course_json(course)))
    return stored


def _imported(log: ReadLog, today: date) -> Imported:
    dates = [row.date for row in log.rows]
    later = sum(day > today for day in dates)
    return Imported(len(dates), min(dates, default=None), max(dates, default=None), later)
