"""The store in a database: one household's rows, read and written in short transactions."""

from __future__ import annotations

import threading
import time as clock
from contextlib import contextmanager, nullcontext
from datetime import UTC, date, datetime, time
from typing import TYPE_CHECKING, Any

from sqlalchemy.exc import IntegrityError
from sqlalchemy.exc import TimeoutError as PoolTimeoutError

from coach.errors import AlreadyStarted, NotStarted, StoreError
from coach.progress.log import Row, What
from coach.services.ports import CourseVersion, Household, SavedStanding
from coach.store import statements
from coach.store.engine import BUSY_SECONDS, ways
from coach.store.failures import BUSY, CROWDED, capitalised, database_name
from coach.store.limits import check_plan, check_rows
from coach.store.plan import PlanTables

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from contextlib import AbstractContextManager

    from sqlalchemy import Connection, Engine
    from sqlalchemy.sql import Executable

    from coach.services.ports import PlanRow


class SqlStore:
    """Households in SQLite or PostgreSQL; every transaction opens and closes inside the call.

    Attributes:
        engine: The engine with its pool of connections.
    """

    def __init__(self, engine: Engine) -> None:
        self.engine = engine
        self._ways = ways(engine)
        self._name = database_name(engine.url)
        # SQLite has one writer at a time; to wait in line here is faster than to keep asking the file.
        self._turns = threading.Lock() if engine.dialect.name == "sqlite" else None

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
        with self._turn(), self._connected(self._ways.writing) as connection, connection.begin():
            yield SqlWriting(connection, household_id)

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

    def _turn(self) -> AbstractContextManager[object]:
        return nullcontext() if self._turns is None else self._take_turn(self._turns)

    @contextmanager
    def _take_turn(self, turns: threading.Lock) -> Iterator[None]:
        if not turns.acquire(timeout=BUSY_SECONDS):
            raise StoreError(capitalised(BUSY.format(name=self._name)))
        try:
            yield
        finally:
            turns.release()


class SqlReading:
    """One household's data inside one transaction."""

    def __init__(self, connection: Connection, household_id: str) -> None:
        self._connection = connection
        self._id = household_id
        self._plan = PlanTables(connection, household_id)

    def household(self) -> Household | None:
        """The household, or None before its start."""
        return _household(self._connection, self._id)

    def rows(self, since: date | None = None) -> Sequence[Row]:
        """The log in the order written; with `since`, only rows dated on or after it."""
        found = self._run(statements.ROWS) if since is None else self._run(statements.ROWS_SINCE, since=since)
        return [Row(on, What(what), step, value) for on, what, step, value in found]

    def courses(self) -> Sequence[CourseVersion]:
        """The versions of its course, oldest first."""
        return [CourseVersion(*found) for found in self._run(statements.COURSES)]

    def standing(self, before: date, digest: str) -> SavedStanding | None:
        """The latest saved standing of that digest whose `through` is earlier than `before`."""
        found = self._run(statements.STANDING, before=before, standing_digest=digest).one_or_none()
        return None if found is None else SavedStanding(*found)

    def plan(self, what: str, first: str | None = None, last: str | None = None) -> Sequence[tuple[str, str]]:
        """What holds now of one kind of the plan: keys from `first` to `last` with their values."""
        return self._plan.holding(what, first, last)

    def plan_many(self, whats: Sequence[str]) -> dict[str, list[tuple[str, str]]]:
        """What holds now of several kinds of the plan."""
        return self._plan.many(whats)

    def plan_history(self, what: str, key: str, most: int = 50) -> Sequence[PlanRow]:
        """The latest rows of one key of the plan, the newest first."""
        return self._plan.history(what, key, most)

    def saved_plan(self, name: str, before: date, digest: str) -> SavedStanding | None:
        """The latest saved fold of that name and digest whose `through` is earlier than `before`."""
        return self._plan.saved(name, before, digest)

    def _run(self, statement: Executable, **values: object) -> Any:  # noqa: ANN401  rows of any shape
        return self._connection.execute(statement, {"household": self._id, **values})


class SqlWriting(SqlReading):
    """The same with the right to write; the household is locked against other writers from the first."""

    def __init__(self, connection: Connection, household_id: str) -> None:
        super().__init__(connection, household_id)
        self._grown = False
        self._cleared_version = 0
        self._locked = self._lock()

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
        self._locked = self._grown = True

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
        if request_id is not None and self._run(statements.REQUEST, request=request_id).first():
            return False
        if rows:
            self._grow()
            self._add(rows, logged_at, request_id)
            first = min(row.date for row in rows)
            self._run(statements.DROP_STANDINGS_FROM, on=first)
            # A fold of the plan may count the household's days away, which are in the log.
            self._plan.drop_from(first)
        return True

    def add_course(self, version: CourseVersion) -> None:
        """Add a version of the course; one of the same date is replaced."""
        self._grow()
        self._run(statements.DROP_COURSE, on=version.since)
        values = {"since": version.since, "digest": version.digest, "content": version.content}
        self._connection.execute(statements.ADD_COURSE, {"household_id": self._id, **values})

    def save_standing(self, saved: SavedStanding) -> None:
        """Keep a standing; one of the same date is replaced. It is a cache, so the version stays."""
        self._require()
        self._run(statements.DROP_STANDING, on=saved.through)
        values = {"through": saved.through, "digest": saved.digest, "state": saved.state}
        self._connection.execute(statements.ADD_STANDING, {"household_id": self._id, **values})

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
        if request_id is not None and self._plan.knows(request_id):
            return False
        if rows:
            self._grow()
            self._plan.add(rows, logged_at, request_id)
        return True

    def save_plan(self, name: str, saved: SavedStanding) -> None:
        """Keep a fold of the plan; one of the same name and date is replaced. The version stays."""
        self._require()
        self._plan.save(name, saved)

    def replace_log(self, household: Household, rows: Sequence[Row], logged_at: datetime) -> None:
        """Put rows in the place of the log and all that follows from it; the plan stays."""
        if self._has_lock():
            values = {"course": household.course, "week_starts": household.week_starts}
            self._change(zone=household.zone, day_starts=household.day_starts, **values)
        else:
            self.create(household)
        for statement in statements.CLEAR_LOG:
            self._run(statement)
        self.append(rows, logged_at)

    def clear(self) -> None:
        """Delete everything of this household, its plan too."""
        household = self.household()
        if household is not None:
            self._cleared_version = household.version
        for statement in statements.CLEAR:
            self._run(statement)
        self._locked = self._grown = False

    def _add(self, rows: Sequence[Row], logged_at: datetime, request_id: str | None) -> None:
        last = self._run(statements.LAST_SEQ).scalar_one()
        values = [
            {
                "household_id": self._id,
                "seq": seq,
                "date": row.date,
                "what": row.what.value,
                "step": row.step,
                "value": row.value,
                "logged_at": logged_at.astimezone(UTC),
                "request_id": request_id if seq == last + 1 else None,
            }
            for seq, row in enumerate(rows, start=last + 1)
        ]
        self._connection.execute(statements.ADD_ROWS, values)

    def _change(self, **columns: object) -> None:
        self._grow()
        self._run(statements.CHANGE, **columns)

    def _grow(self) -> None:
        """Give the household its next version, once in a transaction and before anything is changed."""
        self._require()
        if not self._grown:
            self._run(statements.GROW, now=_microseconds())
            self._grown = True

    def _require(self) -> None:
        if not self._has_lock():
            raise NotStarted("This household has not started: choose its first step.")

    def _has_lock(self) -> bool:
        # Another writer may have created the household since this transaction began.
        self._locked = self._locked or self._lock()
        return self._locked

    def _lock(self) -> bool:
        return self._run(statements.LOCK).first() is not None


def _household(connection: Connection, household_id: str) -> Household | None:
    found = connection.execute(statements.HOUSEHOLD, {"household": household_id}).one_or_none()
    return None if found is None else Household(household_id, *found)


def _microseconds() -> int:
    """Microseconds since 1970, in UTC."""
    return clock.time_ns() // 1000
