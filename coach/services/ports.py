"""What the services need from outside, as protocols: a store, a clock and the lessons."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Protocol

from coach.services.memo import Memo

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence
    from contextlib import AbstractContextManager
    from datetime import date, datetime, time

    from coach.course.model import Caution, Course, Step
    from coach.course.reader import TextFile
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
    """

    id: str
    course: str
    zone: str
    day_starts: time
    version: int


@dataclass(frozen=True, slots=True)
class CourseVersion:
    """The course as it stood from a date on.

    Attributes:
        since: The date from which it holds; the first version holds from the start.
        digest: The course folder's digest.
        content: The course as JSON, so that days already closed keep what they were.
    """

    since: date
    digest: str
    content: str


@dataclass(frozen=True, slots=True)
class SavedStanding:
    """A standing after the close of `through`, as JSON: a cache that can be thrown away.

    Attributes:
        through: The last date folded into it.
        digest: Names the course versions it was computed with.
        state: The state as JSON.
    """

    through: date
    digest: str
    state: str


class Reading(Protocol):
    """One household's data inside one short transaction."""

    def household(self) -> Household | None:
        """The household, or None before its start."""

    def rows(self, since: date | None = None) -> Sequence[Row]:
        """The log in the order written; with `since`, only rows dated on or after it."""

    def courses(self) -> Sequence[CourseVersion]:
        """The versions of its course, oldest first."""

    def standing(self, before: date, digest: str) -> SavedStanding | None:
        """The latest saved standing of that digest whose `through` is earlier than `before`."""


class Writing(Reading, Protocol):
    """The same, with the right to write; everything happens or nothing does."""

    def create(self, household: Household) -> None:
        """Write the household's own row; AlreadyStarted if there is one."""

    def settings(self, zone: str, day_starts: time) -> None:
        """Change the zone and the hour now in force."""

    def append(self, rows: Sequence[Row], logged_at: datetime, request_id: str | None = None) -> bool:
        """Append rows in order; False, with nothing written, if the request id was used before.

        Saved standings that fold a date of these rows are thrown away.
        """

    def add_course(self, version: CourseVersion) -> None:
        """Add a version of the course."""

    def save_standing(self, saved: SavedStanding) -> None:
        """Keep a standing; one of the same date is replaced."""

    def clear(self) -> None:
        """Delete everything of this household."""


class Store(Protocol):
    """Where households live; each transaction is opened and closed inside one service call."""

    def version(self, household_id: str) -> Household | None:
        """The household's own row by one primary-key read."""

    def reading(self, household_id: str) -> AbstractContextManager[Reading]:
        """A transaction that only reads."""

    def writing(self, household_id: str) -> AbstractContextManager[Writing]:
        """A transaction that writes: committed when the block ends, rolled back if it raises."""


class Library(Protocol):
    """The lessons folder: courses, the catalogue, texts for other days, cautions."""

    def course(self, name: str) -> Course:
        """The course of that name as its files are now."""

    def catalogue(self) -> Mapping[str, Step]:
        """The optional steps by id, in file order."""

    def texts(self) -> Sequence[TextFile]:
        """The lessons of days that belong to no step."""

    def digest(self) -> str:
        """Changes with any file of the folder."""

    def cautions(self) -> Mapping[str, Caution]:
        """The cautions by key."""


@dataclass(frozen=True, slots=True)
class Context:
    """What every service is given.

    Attributes:
        store: Where the households live.
        library: The lessons.
        clock: The instant now, aware.
        pretend: Another day to try, in place of the one the clock tells.
        course: The course that new households follow.
        memo: Results that hold while nothing they depend on changes.
    """

    store: Store
    library: Library
    clock: Callable[[], datetime]
    pretend: date | None = None
    course: str = "three-weeks"
    memo: Memo = field(default_factory=Memo)
