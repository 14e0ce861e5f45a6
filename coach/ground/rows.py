"""What a store gives back of a log, and the folds of it that it keeps."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date, datetime

    from coach.progress.log import Row, What


@dataclass(frozen=True, slots=True)
class SavedStanding:
    """A standing, or a fold of the plan, after the close of `through`: a cache that can be thrown away.

    Attributes:
        through: The last date folded into it.
        digest: Names what it was computed with: for a standing, the course versions.
        state: The state as JSON.
    """

    through: date
    digest: str
    state: str


@dataclass(frozen=True, slots=True)
class Thinning:
    """Which of the folds kept so far are thrown away: those through a date before this one, but for some.

    Attributes:
        before: What is kept through this date or a later one stays.
        only: The earlier dates that stay.
        gone: Dates that go whatever else holds, since what was kept through them cannot be read.
    """

    before: date
    only: frozenset[date]
    gone: frozenset[date] = frozenset()


class RawRow(NamedTuple):
    """A row of the log as the store keeps it, nothing of it understood."""

    date: str
    what: str
    step: str
    value: str


@dataclass(frozen=True, slots=True)
class ReadRows:
    """A log as it was read.

    Attributes:
        rows: The rows, in the order written.
        unread: Those that are none, in the order written: of a kind nobody knows, or without a date.
    """

    rows: Sequence[Row]
    unread: Sequence[RawRow] = ()


class Marked(NamedTuple):
    """A mark of the log by when it was written.

    Attributes:
        date: The household day it is about.
        at: The instant of writing, aware.
    """

    date: date
    step: str
    at: datetime


class Signed(NamedTuple):
    """The row of the log that says what a step's mark on a date is, by who wrote it.

    Attributes:
        date: The household day it is about.
        what: The mark, or that it was taken back.
        by: The person; empty: the household alone, or an import.
        at: When it was tapped, aware; as late as it was written where nobody said.
        version: The household's version that it made; None: an import.
    """

    date: date
    step: str
    what: What
    by: str
    at: datetime
    version: int | None


class WrittenRow(NamedTuple):
    """A row of the log with everything that is kept beside it.

    Attributes:
        row: The row.
        at: The instant of writing, aware.
        by: The person who wrote it; empty: the household alone, or an import.
        tapped_at: When it was tapped, aware, where that was earlier.
        imported: Whether it came in with a whole log, so that nobody marked it here.
    """

    row: Row
    at: datetime
    by: str = ""
    tapped_at: datetime | None = None
    imported: bool = False
