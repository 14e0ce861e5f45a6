"""A household's file becomes a household: all of it after every check, or nothing."""

from __future__ import annotations

from contextlib import contextmanager
from dataclasses import dataclass, replace
from functools import partial
from typing import TYPE_CHECKING

from coach.course.shapes import UNREADABLE
from coach.errors import AlreadyStarted, FaultyFile, Malformed, SteadingError
from coach.ground.situation import today_of
from coach.ground.versions import readable
from coach.ground.writing import save_standings
from coach.household.data import keep_copy
from coach.household.home_file import LOG, HomeFile
from coach.household.home_file_reading import read_home
from coach.progress.days import ONE_DAY
from coach.progress.journal import Version, journal
from coach.progress.log import What
from coach.progress.log_check import check_log
from coach.progress.replay import begin, close_through

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence
    from datetime import date

    from coach.ground.kept import Kept
    from coach.ground.ports import Context, Household, Writing
    from coach.household.home_file import Named

HAS_ONE = (
    "There is a household in this database already, so nothing was changed. Name another database with "
    "--database, or replace it with --replace; what is here is kept then."
)


@dataclass(frozen=True, slots=True)
class Adopted:
    """What came of it.

    Attributes:
        rows: How many rows the log has.
        plan: How many rows the plan's history has.
        people: How many people are named.
        first: The date of the start.
        kept: What was there before, if anything was.
    """

    rows: int
    plan: int
    people: int
    first: date
    kept: Kept | None


def checked(context: Context, household: str, content: bytes) -> HomeFile:
    """What a file holds, once its days have been folded as they would be.

    Raises:
        Malformed: It is no such file, or its days cannot be folded.
        FaultyFile: Parts of it have faults; all of them are named.
    """
    return checked_by(partial(today_of, context), household, content)


def checked_by(today_in: Callable[[Household], date], household: str, content: bytes) -> HomeFile:
    """The same where no database is open yet, with the household's date by whoever asks.

    Raises:
        Malformed: It is no such file, or its days cannot be folded.
        FaultyFile: Parts of it have faults; all of them are named.
    """
    held, log = read_home(content, household)
    versions = [Version(one.since, readable(one, text)) for one, text in held.courses]
    today = today_in(held.home)
    if faults := check_log(log, versions[-1].course, today, LOG, versions):
        raise FaultyFile(faults)
    try:
        book = journal(versions, log.rows)
        close_through(begin(book), book, today - ONE_DAY)
    except (SteadingError, *UNREADABLE) as error:
        reason = f" {error}" if isinstance(error, SteadingError) else ""
        raise Malformed(
            f"The days in this file cannot be worked out, so nothing was changed.{reason}"
        ) from error
    return held


def adopt(
    context: Context,
    household: str,
    content: bytes,
    *,
    instead: bool = False,
    bring: Callable[[bytes], str] | None = None,
) -> Adopted:
    """Make a household of a file where there is none: its people keep their keys.

    Args:
        context: Store, lessons and clock.
        household: The key it gets.
        content: The bytes of the file.
        instead: Whether it may take the place of one that is there, which is kept first.
        bring: Keeps the packed course of a group, and gives the name under which it is followed here.

    Raises:
        AlreadyStarted: There is a household.
        Malformed: It is no such file, or its days cannot be folded.
        FaultyFile: Parts of it have faults; all of them are named.
    """
    held = checked(context, household, content)
    if not instead and context.store.version(household) is not None:
        raise AlreadyStarted(HAS_ONE)
    if held.packed and bring is not None:
        held = replace(held, home=replace(held.home, course=bring(held.packed)))
    with with_people(context, household, held.people), context.store.writing(household) as writing:
        if not instead and writing.household() is not None:
            raise AlreadyStarted(HAS_ONE)
        kept = keep_copy(context, writing)
        put_home(context, writing, held)
    start = next(one.row.date for one in held.log if one.row.what is What.START)
    return Adopted(len(held.log), len(held.plan), len(held.people), start, kept)


def put_home(context: Context, writing: Writing, held: HomeFile) -> None:
    """Let a file that was checked be the household."""
    writing.take_in(held.home, held.log, held.plan)
    for version, content in held.courses:
        writing.add_course(version, content)
    save_standings(context, writing)


@contextmanager
def with_people(context: Context, household: str, people: Sequence[Named]) -> Iterator[None]:
    """Write those down who are not known yet, do what is done, and then let those belong who did.

    People stand outside the households, so this takes transactions of their own; where what is done fails,
    they are forgotten again.
    """
    now = context.clock()
    with context.store.reading(household) as reading:
        known = reading.names_of({one.id for one in people})
        belong = {one.person for one in reading.members()}
    new = [one for one in people if one.id not in known]
    with context.store.people_writing() as writing:
        for one in new:
            writing.add_person(one.id, one.name, one.since or now)
    try:
        yield
    except BaseException:
        with context.store.people_writing() as writing:
            for one in new:
                writing.forget_person(one.id)
        raise
    with context.store.people_writing() as writing:
        for one in people:
            if one.role is not None and one.id not in belong:
                writing.put_member(household, one.id, one.role, one.since or now)
