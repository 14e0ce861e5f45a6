"""The store in a database: one household's rows, read and written in short transactions."""

from __future__ import annotations

import threading
import time as clock
from contextlib import ExitStack, contextmanager, nullcontext
from dataclasses import replace
from datetime import UTC, date, datetime, time
from typing import TYPE_CHECKING, Any

from sqlalchemy.exc import IntegrityError
from sqlalchemy.exc import TimeoutError as PoolTimeoutError

from coach.course.shapes import UNREADABLE
from coach.errors import AlreadyStarted, NotStarted, StoreError
from coach.ground.ports import CourseVersion, RawRow, ReadRows, SavedStanding
from coach.limits import WRITE_SECONDS
from coach.store import statements
from coach.store.engine import ways
from coach.store.failures import CROWDED, capitalised, database_name
from coach.store.limits import check_plan, check_rows
from coach.store.log_rows import rows_read, rows_to_add
from coach.store.plan import PlanTables, thinned
from coach.store.raw import as_text, household_of, read_raw, understood
from coach.store.waiting import PATIENCE_OPTION, Patience, Turns

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from contextlib import AbstractContextManager

    from sqlalchemy import Connection, Engine
    from sqlalchemy.sql import Executable

    from coach.ground.ports import Asked, Household, PlanRow, Thinning
    from coach.progress.log import Row


class SqlStore:
    """Households in SQLite or PostgreSQL; every transaction opens and closes inside the call.

    Attributes:
        engine: The engine with its pool of connections.
        ended: Set when no write is to wait any longer.
    """

    def __init__(self, engine: Engine) -> None:
        self.engine = engine
        self._ways = ways(engine)
        self._name = database_name(engine.url)
        # SQLite has one writer at a time; to wait in line here is faster than to keep asking the file.
        self._turns = Turns(self._name) if engine.dialect.name == "sqlite" else None
        self.ended = threading.Event()

    def version(self, household_id: str) -> Household | None:
        """The household's own row by one primary-key read."""
        with self._connected(self._ways.single) as connection:
            return _household(connection, household_id)

    @contextmanager
    def reading(self, household_id: str) -> Iterator[SqlReading]:
        """A transaction that only reads and sees the household at one instant."""
        with self._connected(self._ways.reading) as connection:
            yield SqlReading(connection, household_id)

    @contextmanager
    def writing(self, household_id: str) -> Iterator[SqlWriting]:
        """A transaction that writes: committed when the block ends, rolled back if it raises."""
        patience = Patience(WRITE_SECONDS, self.ended)
        with self._turn(patience):
            transaction, writing = patience.until_free(lambda: self._begin(household_id, patience))
            with transaction:
                yield writing

    def trouble(self) -> str | None:
        """What keeps everything from being written though it can be read; a server has nothing to tell."""
        return None

    def close(self) -> None:
        """Close every pooled connection."""
        self.engine.dispose()

    @contextmanager
    def _connected(self, engine: Engine) -> Iterator[Connection]:
        try:
            connection = engine.connect()
        except PoolTimeoutError as error:
            raise StoreError(capitalised(CROWDED.format(name=self._name))) from error
        with connection:
            yield connection

    def _turn(self, patience: Patience) -> AbstractContextManager[None]:
        return nullcontext() if self._turns is None else self._turns.take(patience)

    def _begin(self, household_id: str, patience: Patience) -> tuple[ExitStack, SqlWriting]:
        """A transaction that has the household to itself, with what ends it; a refused one is gone."""
        with ExitStack() as opened:
            connection = opened.enter_context(self._connected(self._ways.writing))
            connection.execution_options(**{PATIENCE_OPTION: patience})
            opened.enter_context(connection.begin())
            writing = SqlWriting(connection, household_id)
            return opened.pop_all(), writing


class SqlReading:
    """One household's data inside one transaction."""

    def __init__(self, connection: Connection, household_id: str) -> None:
        self._connection = self.connection = connection
        self._id = household_id
        self._plan = PlanTables(connection, household_id)
        self._opening: tuple[Household | None, list[CourseVersion]] | None = None

    def household(self) -> Household | None:
        """The household, or None before its start."""
        return self._opened()[0]

    def rows(self, since: date | None = None) -> Sequence[Row]:
        """The log in the order written; with `since`, only rows dated on or after it."""
        return self.log(since).rows

    def log(self, since: date | None = None) -> ReadRows:
        """The same, with the rows that are none beside it: of a kind nobody knows, or without a date."""
        try:
            found = self._run(statements.ROWS if since is None else statements.ROWS_SINCE, since=since)
            return ReadRows(list(rows_read(found)))
        except UNREADABLE:
            return read_raw(self.raw_log(), since)

    def raw_log(self) -> Sequence[RawRow]:
        """The log as it is kept, without looking at anything else; what is no text is shown as text."""
        return [RawRow(*map(as_text, row)) for row in self._run(statements.RAW_ROWS).all()]

    def courses(self) -> Sequence[CourseVersion]:
        """The versions of its course, oldest first."""
        return self._opened()[1]

    def course_content(self, digest: str) -> str:
        """The version of that digest as JSON."""
        content: str = self._run(statements.COURSE_CONTENT, course_digest=digest).scalar_one()
        return content

    def standing(self, before: date, digests: Sequence[str]) -> SavedStanding | None:
        """The latest saved standing of one of these digests whose `through` is earlier than `before`."""
        try:
            found = self._run(statements.STANDING, before=before, digests=list(digests)).one_or_none()
        except UNREADABLE:
            # One without a date is damaged. Those before it are no loss: they are a cache.
            return None
        return None if found is None else SavedStanding(*found)

    def plans(self, asked: Sequence[Asked]) -> Sequence[list[tuple[str, str]]]:
        """What holds now of the plan, for everything asked for in one statement."""
        return self._plan.parts(asked)

    def plan_all(self) -> Sequence[tuple[str, str, str]]:
        """Everything that holds now of the plan."""
        return self._plan.all()

    def plan_history(self, what: str, key: str, most: int = 50) -> Sequence[PlanRow]:
        """The latest rows of one key of the plan, the newest first."""
        return self._plan.history(what, key, most)

    def saved_plan(self, name: str, before: date, digest: str) -> SavedStanding | None:
        """The latest saved fold of that name and digest whose `through` is earlier than `before`."""
        return self._plan.saved(name, before, digest)

    def _opened(self) -> tuple[Household | None, list[CourseVersion]]:
        """The household's own row and the versions of its course, read together and once."""
        if self._opening is None or self._opening[0] is None:
            self._opening = self._read_opening()
        return self._opening

    def _read_opening(self) -> tuple[Household | None, list[CourseVersion]]:
        with understood(self._connection):
            found = self._run(statements.OPENING).all()
            if not found:
                return None, []
            versions = [CourseVersion(since, digest) for *_, since, digest in found if since is not None]
            return household_of(self._id, *found[0][:-2]), versions

    def _run(self, statement: Executable, **values: object) -> Any:  # noqa: ANN401  rows of any shape
        return self._connection.execute(statement, {"household": self._id, **values})


class SqlWriting(SqlReading):
    """The same with the right to write; the household is locked against other writers from the first."""

    def __init__(self, connection: Connection, household_id: str) -> None:
        super().__init__(connection, household_id)
        self._grown = False
        self._cleared_version = 0
        self._written: Sequence[Row] | None = None
        self._opened()

    def rows(self, since: date | None = None) -> Sequence[Row]:
        """The log in the order written; a whole log just put in its place is not read back."""
        return self._written if since is None and self._written is not None else super().rows(since)

    def _read_opening(self) -> tuple[Household | None, list[CourseVersion]]:
        if self._connection.dialect.name != "sqlite":
            # What waits for a lock sees what it joins as that was before; the statement after it does not.
            self._run(statements.LOCK)
        return super()._read_opening()

    def create(self, household: Household) -> None:
        """Write the household's own row; AlreadyStarted if there is one."""
        version = max(self._cleared_version + 1, _microseconds())
        values = {
            "household_id": self._id,
            "course": household.course,
            "zone": household.zone,
            "day_starts": household.day_starts,
            "week_starts": household.week_starts,
            "version": version,
            "created_at": datetime.now(UTC),
        }
        try:
            # A savepoint keeps the transaction usable when another phone was first.
            with self._connection.begin_nested():
                self._connection.execute(statements.ADD_HOUSEHOLD, values)
        except IntegrityError:
            raise AlreadyStarted("This household has started already.") from None
        self._opening, self._grown = None, True

    def settings(self, zone: str, day_starts: time, week_starts: str | None = None) -> None:
        """Change the zone and the hour now in force, and with `week_starts` the day a week begins on."""
        week = {} if week_starts is None else {"week_starts": week_starts}
        self._change(zone=zone, day_starts=day_starts, **week)

    def append(self, rows: Sequence[Row], logged_at: datetime, request_id: str | None = None) -> bool:
        """Append rows in order; False, with nothing written, if the request id was used before.

        Args:
            rows: What to add; none is nothing to do.
            logged_at: The instant of writing, aware.
            request_id: Names the request, so that a retry is the same rows; it stands on the first of them.

        Raises:
            NotStarted: There is no such household.
            Malformed: A text cannot be kept.
        """
        check_rows(rows, logged_at, request_id)
        self._require()
        last, seen, folded, planned = self._run(statements.TAIL, request=request_id).one()
        if seen is not None:
            return False
        if rows:
            self._grow()
            for values in rows_to_add(self._id, rows, last, logged_at, request_id):
                self._connection.execute(statements.ADD_ROWS, values)
            self._written = None
            first = min(row.date for row in rows)
            if folded is not None and folded >= first:
                self._run(statements.DROP_STANDINGS_FROM, on=first)
            # A fold of the plan may count the household's days away, which are in the log.
            if planned is not None and planned >= first:
                self._plan.drop_from(first)
        return True

    def wrote(self, request_id: str) -> bool:
        """Whether a request of that id has written rows already, of the log or of the plan."""
        return self._run(statements.WROTE, request=request_id).first() is not None

    def add_course(self, version: CourseVersion, content: str) -> None:
        """Add a version of the course with its content; one of the same date is replaced."""
        self._grow()
        self._run(statements.DROP_COURSE, on=version.since)
        values = {"since": version.since, "digest": version.digest, "content": content}
        self._connection.execute(statements.ADD_COURSE, {"household_id": self._id, **values})
        self._opening = None

    def save_standings(self, saved: Sequence[SavedStanding], thinning: Thinning | None = None) -> None:
        """Keep standings, and thin the old ones out. They are a cache, so the version stays."""
        self._require()
        instead = {one.through for one in saved} | (thinning.gone if thinning else set())
        self._run(statements.DROP_STANDINGS, dates=sorted(instead), **thinned(thinning))
        values = [
            {"household_id": self._id, "through": one.through, "digest": one.digest, "state": one.state}
            for one in saved
        ]
        self._connection.execute(statements.ADD_STANDING, values)

    def put_plan(self, rows: Sequence[PlanRow], logged_at: datetime, request_id: str | None = None) -> bool:
        """Append rows of the plan in order; False, with nothing written, if the request id was used before.

        Args:
            rows: What to add; none is nothing to do.
            logged_at: The instant of writing, aware.
            request_id: Names the request among those that wrote to the plan.

        Raises:
            NotStarted: There is no such household.
            Malformed: A text cannot be kept.
        """
        check_plan(rows, logged_at, request_id)
        self._require()
        if rows:
            if not self._plan.add(rows, logged_at, request_id):
                return False
            self._grow()
        return True

    def save_plan(self, name: str, saved: SavedStanding, thinning: Thinning | None = None) -> None:
        """Keep a fold of the plan, and thin the old ones out. The version stays."""
        self._require()
        self._plan.save(name, saved, thinning)

    def replace_log(self, household: Household, rows: Sequence[Row], logged_at: datetime) -> None:
        """Put rows in the place of the log and all that follows from it; the plan stays."""
        if self.household() is not None:
            values = {"course": household.course, "week_starts": household.week_starts}
            self._change(zone=household.zone, day_starts=household.day_starts, **values)
        else:
            self.create(household)
        for statement in statements.CLEAR_LOG:
            self._run(statement)
        self._opening = None
        self.append(rows, logged_at)
        self._written = rows

    def clear(self) -> None:
        """Delete everything of this household, its plan too."""
        household = self.household()
        if household is not None:
            self._cleared_version = household.version
        for statement in statements.CLEAR:
            self._run(statement)
        self._opening, self._grown, self._written = None, False, None

    def _change(self, **columns: object) -> None:
        self._grow()
        self._run(statements.CHANGE, **columns)
        self._opening = None

    def _grow(self) -> None:
        """Give the household its next version, once in a transaction and before anything is changed."""
        household = self._require()
        if not self._grown:
            # The clock keeps a version from coming back after a household was deleted, imported or restored.
            grown = replace(household, version=max(household.version + 1, _microseconds()))
            self._run(statements.CHANGE, version=grown.version)
            self._opening, self._grown = (grown, self._opened()[1]), True

    def _require(self) -> Household:
        # Another writer may have created the household since this transaction began.
        household = self.household()
        if household is None:
            raise NotStarted("This household has not started: choose its first step.")
        return household


def _household(connection: Connection, household_id: str) -> Household | None:
    with understood(connection):
        found = connection.execute(statements.HOUSEHOLD, {"household": household_id}).one_or_none()
        return None if found is None else household_of(household_id, *found)


def _microseconds() -> int:
    """Microseconds since 1970, in UTC."""
    return clock.time_ns() // 1000
