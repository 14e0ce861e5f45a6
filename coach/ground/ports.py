"""What use cases need from outside, as protocols: a store, a clock and the lessons."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Protocol

from coach.ground.coaching import Coaching, EnrolledReading, EnrolledWriting
from coach.ground.findings import Noted
from coach.ground.memo import Memo
from coach.ground.people import People

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Mapping, Sequence
    from contextlib import AbstractContextManager
    from datetime import date, datetime, time
    from pathlib import Path

    from coach.course.groups import StepGroup
    from coach.course.model import Caution, Course, Step
    from coach.course.reader import TextFile
    from coach.course.rooms import RoomKind
    from coach.course.starters import Starter
    from coach.ground.answered import Answered
    from coach.ground.kept import Kept
    from coach.ground.people import Member
    from coach.ground.plan_rows import Asked, PlannedRow, PlanRow
    from coach.ground.rows import (
        Marked,
        RawRow,
        ReadRows,
        SavedStanding,
        Signed,
        Thinning,
        WrittenRow,
    )
    from coach.progress.log import Row


@dataclass(frozen=True, slots=True)
class Household:
    """One home as the store keeps it beside its log.

    Attributes:
        id: Its key in every table.
        course: The name of the course it follows.
        zone: IANA name now in force; the log's `zone` rows say since when.
        day_starts: Local wall time at which its day now begins.
        version: Grows with every write, so that a result computed for one version is good while it stands.
        week_starts: `monday` or `sunday`.
        members: How many people are known to belong to it; none where it never said.
        group: The group it is in; empty: none.
    """

    id: str
    course: str
    zone: str
    day_starts: time
    version: int
    week_starts: str = "monday"
    members: int = 0
    group: str = ""


@dataclass(frozen=True, slots=True)
class CourseVersion:
    """The course as it stood from a date on; its content is kept under its digest.

    Attributes:
        since: The date from which it holds; the first version holds from the start.
        digest: The course folder's digest.
    """

    since: date
    digest: str


class Reading(EnrolledReading, Protocol):
    """One household's data inside one short transaction."""

    def household(self) -> Household | None:
        """The household, or None before its start."""

    def rows(self, since: date | None = None) -> Sequence[Row]:
        """The log in the order written; with `since`, only rows dated on or after it."""

    def log(self, since: date | None = None) -> ReadRows:
        """The same, with the rows that are none beside it."""

    def raw_log(self) -> Sequence[RawRow]:
        """The log as it is kept, without looking at anything else; what is no text is shown as text."""

    def marked_at(self, since: date) -> Sequence[Marked]:
        """When marks dated from then on were written, but the excused; none where that cannot be read."""

    def signed(self, first: date, last: date) -> Sequence[Signed]:
        """For each date and step between two dates the last row that marks it or takes its mark back."""

    def decided_at(self) -> Mapping[str, datetime]:
        """For each step when a row that marks nothing was last written about it; under "" about none."""

    def planned_at(self, asked: Sequence[Asked]) -> Sequence[Mapping[str, datetime]]:
        """For everything asked for the instants at which what holds now was written, by key."""

    def names(self) -> Sequence[str]:
        """For each row of the log, in the order written, what the one who wrote it is called, or nothing."""

    def members(self) -> Sequence[Member]:
        """Who belongs to the household, in the order in which they joined."""

    def names_of(self, people: Collection[str]) -> Mapping[str, str]:
        """What people are called, by their keys, whether they belong to it still or not."""

    def answered(self, request_id: str, since: datetime) -> Answered | None:
        """How a request of that id was answered, if that was no earlier than an instant."""

    def courses(self) -> Sequence[CourseVersion]:
        """The versions of its course, oldest first."""

    def course_content(self, digest: str) -> str:
        """The version of that digest as JSON, so that days already closed keep what they were."""

    def standing(self, before: date, digests: Sequence[str]) -> SavedStanding | None:
        """The latest saved standing of one of these digests whose `through` is earlier than `before`."""

    def plans(self, asked: Sequence[Asked]) -> Sequence[list[tuple[str, str]]]:
        """What holds now of the plan, for everything asked for in one statement.

        Returns:
            For each, in order: keys with their values, in the order of their code points; values taken away
            are left out.
        """

    def plan_all(self) -> Sequence[tuple[str, str, str]]:
        """Everything that holds now: kinds, keys and values, in the order of kinds and keys."""

    def plan_history(self, what: str, key: str, most: int = 50) -> Sequence[PlanRow]:
        """The latest rows of one key, at most so many, the newest first; what it takes to undo."""

    def saved_plan(self, name: str, before: date, digest: str) -> SavedStanding | None:
        """The latest saved fold of that name and digest whose `through` is earlier than `before`."""

    def written_rows(self) -> Sequence[WrittenRow]:
        """The whole log in the order written, with what is kept beside its rows; StoreError if damaged."""

    def planned_rows(self) -> Sequence[PlannedRow]:
        """The whole history of the plan in the order written, in the same way."""


class Writing(Reading, EnrolledWriting, Protocol):
    """The same, with the right to write; everything happens or nothing does."""

    def create(self, household: Household) -> None:
        """Write the household's own row; AlreadyStarted if there is one."""

    def settings(self, zone: str, day_starts: time, week_starts: str | None = None) -> None:
        """Change the zone and the hour now in force, and with `week_starts` the day a week begins on."""

    def follow(self, course: str) -> None:
        """Let the household follow the course of that name from now on; its versions so far stay."""

    def append(
        self,
        rows: Sequence[Row],
        logged_at: datetime,
        request_id: str | None = None,
        by: str = "",
        tapped_at: datetime | None = None,
    ) -> bool:
        """Append rows in order; False, with nothing written, if the request id was used before.

        `by` is the person who writes, `tapped_at` when they tapped, if that was earlier. Saved standings and
        folds of the plan that fold a date of these rows are thrown away.
        """

    def wrote(self, request_id: str) -> bool:
        """Whether a request of that id has written rows already, of the log or of the plan."""

    def add_course(self, version: CourseVersion, content: str) -> None:
        """Add a version of the course, with its content as JSON."""

    def save_standings(self, saved: Sequence[SavedStanding], thinning: Thinning | None = None) -> None:
        """Keep standings, at least one, in the place of those of the same dates; old ones are thinned out."""

    def keep_answer(self, request_id: str, answered: Answered, at: datetime, before: datetime) -> None:
        """Keep an answer for when its request is sent again; those given before an instant are let go of."""

    def put_plan(
        self, rows: Sequence[PlanRow], logged_at: datetime, request_id: str | None = None, by: str = ""
    ) -> bool:
        """Append rows of the plan in order, so that the last one of a key holds.

        False, with nothing written, if the request id was used before for the plan; the log's requests are
        apart. Saved folds of the plan that fold a date of these rows are thrown away.
        """

    def save_plan(self, name: str, saved: SavedStanding, thinning: Thinning | None = None) -> None:
        """Keep a fold of the plan in the place of one of the same name and date; old ones are thinned out."""

    def replace_log(self, household: Household, rows: Sequence[Row], logged_at: datetime) -> None:
        """Put rows in the place of the log, and these values in the place of the household's own.

        Course versions, standings and saved folds of the plan go with the old log; the plan stays. A
        household that has not started is created.
        """

    def take_in(self, household: Household, log: Sequence[WrittenRow], plan: Sequence[PlannedRow]) -> None:
        """Put these in the place of the log, of the plan and its history, and of the household's own values.

        Course versions, standings and saved folds go with the old log; people and what lets them in stay. A
        household that has not started is created.
        """

    def clear(self) -> None:
        """Delete everything of this household: its plan too, its people, and what lets them in."""


class Store(People, Coaching, Protocol):
    """Where households live, with their people; each transaction opens and closes inside one use case."""

    def version(self, household_id: str) -> Household | None:
        """The household's own row by one primary-key read."""

    def reading(self, household_id: str) -> AbstractContextManager[Reading]:
        """A transaction that only reads."""

    def writing(self, household_id: str) -> AbstractContextManager[Writing]:
        """A transaction that writes: committed when the block ends, rolled back if it raises."""

    def trouble(self) -> str | None:
        """What keeps everything from being written though it can be read, and what to do; None if nothing."""


class Copies(Protocol):
    """Copies of the whole database, where it is a file: those that are asked for, and those kept before."""

    def backup(self, to: Path, name: str | None = None) -> None:
        """Write a complete copy to a file, once database and copy were found whole."""

    def keep(self, before: str) -> Kept:
        """Make a copy before what is named happens, and let go of the oldest beyond the last few."""

    def kept(self) -> Sequence[Kept]:
        """The copies there are, the newest first."""

    def file(self, name: str) -> Path:
        """A copy's file; Unknown if there is none of that name."""

    def opened(self, source: Path, name: str | None = None) -> AbstractContextManager[Store]:
        """The store in a copy, to look into; Malformed if it is none. The file stays as it is.

        `name` is what the person calls the file.
        """

    def restore(self, source: Path, sure: Callable[[], None], name: str | None = None) -> Kept | None:
        """Put a copy in the place of the database, and keep what was there if it could be read.

        `sure` is called when that is kept and nothing is replaced yet; it may raise. `name` is what the
        person calls the file.
        """

    def forget(self) -> None:
        """Delete every copy that was kept."""


class Library(Protocol):
    """The lessons folder: courses, the catalogue, texts for other days, cautions."""

    def of(self, course: str, day: date) -> Library:
        """The lessons as a household that follows a course has them on a date, with its own texts."""

    def course(self, name: str) -> Course:
        """The course of that name as its files are now."""

    def is_shipped(self, name: str) -> bool:
        """Whether a course of that name comes in a folder, and not from the database."""

    def folder_of(self, name: str) -> Path:
        """The folder of such a course."""

    def look_again(self, name: str) -> None:
        """Forget which version of the course holds under a name, since it was just changed."""

    def catalogue(self) -> Mapping[str, Step]:
        """The optional steps by id, in file order."""

    def groups(self) -> Sequence[StepGroup]:
        """How the catalogue is grouped; its steps that stand in no group come after these."""

    def texts(self) -> Sequence[TextFile]:
        """The lessons of days that belong to no step."""

    def digest(self) -> str:
        """Changes with any file of the folder."""

    def cautions(self) -> Mapping[str, Caution]:
        """The cautions by key."""

    def rooms(self) -> Sequence[RoomKind]:
        """The kinds of rooms with their starter lists, in file order."""

    def starters(self) -> Sequence[Starter]:
        """The pages a handover can begin with, in file order."""


@dataclass(frozen=True, slots=True)
class Context:
    """What every use case is given.

    Attributes:
        store: Where the households live.
        library: The lessons.
        clock: The instant now, aware.
        pretend: Another day to try, in place of the one the clock tells.
        course: The course that new households follow.
        copies: The copies of the database, where it is a file.
        memo: Results that hold while nothing they depend on changes.
        sure: Given the situation before anything is decided to be written, raises Outdated if what the one
            who writes has seen does not stand any more; none: whatever stands.
        request_id: Names the request, so that what it writes is written once; none: nothing is remembered.
        again: Whether a request whose rows are there already is answered with what stands; if not, Repeated
            is raised.
        by: The person who asks; empty: the household alone.
        noted: What is wrong with what was read lately.
        most_homes: How many households there may be: 1 where there is the only one; none: as many as come.
    """

    store: Store
    library: Library
    clock: Callable[[], datetime]
    pretend: date | None = None
    course: str = "three-weeks"
    copies: Copies | None = None
    memo: Memo = field(default_factory=Memo)
    # A situation; that is made of this context, so its type cannot be named here.
    sure: Callable[[Any], None] | None = None
    request_id: str | None = None
    again: bool = False
    by: str = ""
    noted: Noted = field(default_factory=Noted)
    most_homes: int | None = 1

    @property
    def is_hosted(self) -> bool:
        """Whether many households are served, so that who asks says which one is meant."""
        return self.most_homes != 1
