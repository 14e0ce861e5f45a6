"""The store in a database: one household's rows, read and written in short transactions."""

from __future__ import annotations

import threading
from contextlib import ExitStack, contextmanager, nullcontext
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, Any, Protocol, TypeVar

from sqlalchemy.exc import TimeoutError as PoolTimeoutError

from coach.errors import StoreError
from coach.limits import WRITE_SECONDS
from coach.store.coaching import SqlCoachingReading, SqlCoachingWriting
from coach.store.counting import SqlCounting
from coach.store.engine import ways
from coach.store.failures import CROWDED, capitalised, database_name
from coach.store.people import SqlPeopleReading, SqlPeopleWriting, shown_by
from coach.store.reading import SqlReading, household_row
from coach.store.sending import fed_by
from coach.store.waiting import PATIENCE_OPTION, Patience, Turns
from coach.store.wall import COUNTS, DOOR, SCOPE_OPTION, Scope, read_once, wall_fault
from coach.store.writing import SqlWriting

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping, Sequence
    from contextlib import AbstractContextManager

    from sqlalchemy import Connection, Engine

    from coach.ground.people import Shown
    from coach.ground.ports import Household
    from coach.ground.sending import Feed
    from coach.store.wall import Question


class HasConnection(Protocol):
    """What writes by a connection."""

    connection: Connection


@dataclass(slots=True)
class Plain:
    """Nothing but a connection."""

    connection: Connection


W = TypeVar("W", bound=HasConnection)
"""What writes; while its file lies in its place, where it is one."""


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
            return household_row(connection, household_id)

    @contextmanager
    def reading(self, household_id: str) -> Iterator[SqlReading]:
        """A transaction that only reads and sees the household at one instant."""
        with self._connected(self._ways.reading, self._scope(household_id)) as connection:
            yield self._read(connection, household_id)

    @contextmanager
    def writing(self, household_id: str) -> Iterator[SqlWriting]:
        """A transaction that writes: committed when the block ends, rolled back if it raises."""
        with self._writing(partial(self._write, household_id), self._scope(household_id)) as writing:
            yield writing

    def _scope(self, household_id: str) -> Scope:
        """What a transaction about a household may touch."""
        return Scope(household_id)

    def _read(self, connection: Connection, household_id: str) -> SqlReading:
        return SqlReading(connection, household_id)

    def _write(self, household_id: str, connection: Connection) -> SqlWriting:
        return SqlWriting(connection, household_id)

    def _meet(self, connection: Connection) -> SqlPeopleWriting:
        return SqlPeopleWriting(connection)

    def shown(self, secret: str) -> Shown | None:
        """The session of that hash with the one whose it is, by one read."""
        with self._connected(self._ways.single) as connection:
            return shown_by(connection, secret)

    def fed(self, secret: str) -> Feed | None:
        """The feed of that hash, by one read."""
        with self._connected(self._ways.single) as connection:
            return fed_by(connection, secret)

    @contextmanager
    def people_reading(self) -> Iterator[SqlPeopleReading]:
        """A transaction that only reads who there is and what lets them in."""
        with self._connected(self._ways.reading, DOOR) as connection:
            yield SqlPeopleReading(connection)

    @contextmanager
    def people_writing(self) -> Iterator[SqlPeopleWriting]:
        """The same with the right to write."""
        with self._writing(self._meet, DOOR) as writing:
            yield writing

    @contextmanager
    def coaching_reading(self) -> Iterator[SqlCoachingReading]:
        """A transaction that only reads groups and what belongs to them."""
        with self._connected(self._ways.reading, DOOR) as connection:
            yield SqlCoachingReading(connection)

    @contextmanager
    def coaching_writing(self) -> Iterator[SqlCoachingWriting]:
        """The same with the right to write."""
        with self._writing(SqlCoachingWriting, DOOR) as writing:
            yield writing

    @contextmanager
    def counting(self) -> Iterator[SqlCounting]:
        """A transaction that reads of many households, at one instant."""
        with self._connected(self._ways.reading, COUNTS) as connection:
            yield self._count(connection)

    def _count(self, connection: Connection) -> SqlCounting:
        return SqlCounting(connection)

    def ask(self, scope: Scope, *questions: Question) -> list[Sequence[Any]]:
        """The rows of statements that read, within a scope and without a transaction around them."""
        with self._connected(self._ways.single) as connection:
            return read_once(connection, scope, *questions)

    @contextmanager
    def transaction(self, scope: Scope) -> Iterator[Connection]:
        """A transaction that writes within a scope, for what is no household's use case."""
        with self._writing(Plain, scope) as plain:
            yield plain.connection

    @contextmanager
    def snapshot(self, scope: Scope) -> Iterator[Connection]:
        """One that only reads."""
        with self._connected(self._ways.reading, scope) as connection:
            yield connection

    @contextmanager
    def _writing(self, make: Callable[[Connection], W], scope: Scope) -> Iterator[W]:
        """A transaction that writes within a scope, with what is made of its connection."""
        patience = Patience(WRITE_SECONDS, self.ended)
        options = {PATIENCE_OPTION: patience, SCOPE_OPTION: scope}
        with self._turn(patience):
            transaction, writing = patience.until_free(lambda: self._begin(make, options))
            with transaction:
                yield writing

    def trouble(self) -> str | None:
        """What keeps everything from being written though it can be read; a server has nothing to tell."""
        return None

    def gaps(self) -> list[str]:
        """Where the wall between households in the database does not hold, and what to do."""
        if self.engine.dialect.name == "sqlite":
            return []
        with self._connected(self._ways.single) as connection:
            fault = wall_fault(connection)
        return [] if fault is None else [f"{capitalised(self._name)}: {fault}"]

    def close(self) -> None:
        """Close every pooled connection."""
        self.engine.dispose()

    @contextmanager
    def _connected(self, engine: Engine, scope: Scope | None = None) -> Iterator[Connection]:
        try:
            connection = engine.connect()
        except PoolTimeoutError as error:
            raise StoreError(capitalised(CROWDED.format(name=self._name))) from error
        with connection:
            if scope is not None:
                connection.execution_options(**{SCOPE_OPTION: scope})
            yield connection

    def _turn(self, patience: Patience) -> AbstractContextManager[None]:
        return nullcontext() if self._turns is None else self._turns.take(patience)

    def _begin(self, make: Callable[[Connection], W], options: Mapping[str, object]) -> tuple[ExitStack, W]:
        """A transaction that has what it writes to itself, with what ends it; a refused one is gone."""
        with ExitStack() as opened:
            connection = opened.enter_context(self._connected(self._ways.writing))
            connection.execution_options(**options)
            opened.enter_context(connection.begin())
            writing = make(connection)
            return opened.pop_all(), writing
