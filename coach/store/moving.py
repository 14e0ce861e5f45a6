"""Moving a household from one database to another while the service runs.

Its writes are refused from the moment at which its database is told that it moves until the directory names
the other one. Whatever ends a move in between, the directory names exactly one database, where the household
is whole; the same command, given again, goes on from there.
"""

from __future__ import annotations

import hashlib
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

from sqlalchemy import delete, insert, select, text

from coach.errors import Malformed, NotReady, StoreError, Unknown
from coach.store.directory import CENTRAL, Where, drop_mark, put_mark
from coach.store.every_table import ALL_TABLES, AT_THE_DOOR
from coach.store.households import SqlStore
from coach.store.log_rows import MANY
from coach.store.reading import SqlReading
from coach.store.wall import SHARED, Scope

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence
    from datetime import date

    from sqlalchemy import Connection, Table

    from coach.ground.ports import Store
    from coach.ground.rows import SavedStanding
    from coach.store.spread import SpreadStore

WITH_ITS_PEOPLE = frozenset({"member", "sign_in", "message", "place"})
"""Tables about households that stay in the central database."""

MOVED: tuple[Table, ...] = tuple(
    table
    for table in ALL_TABLES.sorted_tables
    if "household_id" in table.primary_key.columns and table.name not in AT_THE_DOOR | WITH_ITS_PEOPLE
)
"""Tables that a household takes along, those that others refer to first."""

NO_PLACE = "There is no database “{name}”. There are {names}."
NO_HOUSEHOLD = "There is no household “{household}”. `coach people` lists them."
NOT_THE_SAME = (
    "What arrived in “{name}” is not what was sent from “{place}”, so the household stays where it was. "
    "Nothing was lost; look at both servers and move it again."
)

Digest = tuple[int, str]
"""How many rows a table has of a household, and the SHA-256 of them in the order of their keys."""


class LogReading(SqlReading):
    """A household that is worked out from its log alone."""

    def standing(self, before: date, digests: Sequence[str]) -> SavedStanding | None:
        """None, as if none had been saved."""
        del before, digests
        return None


class LogStore(SqlStore):
    """A database whose households are worked out from their logs, whether they live there or not."""

    def _read(self, connection: Connection, household_id: str) -> SqlReading:
        return LogReading(connection, household_id)


@dataclass(frozen=True, slots=True)
class Moved:
    """What came of a move.

    Attributes:
        household: The household.
        came_from: Where it lived; the same as `place` if it lived there already.
        place: Where it lives now.
        rows: How many rows went along.
        left_over: Databases that could not be asked whether rows of it are left there.
    """

    household: str
    came_from: str
    place: str
    rows: int
    left_over: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Move:
    """One household on its way.

    Attributes:
        store: All databases.
        household: The household.
        name: Where it is to live.
        same: Given stores in both databases once the rows are in both, which look at no mark and no saved
            standing, says whether the household stands the same in both.
        after: Called with the name of each step that is done.
    """

    store: SpreadStore
    household: str
    name: str
    same: Callable[[Store, Store], bool] = field(default=lambda _before, _after: True)
    after: Callable[[str], None] = field(default=lambda _step: None)

    def run(self) -> Moved:
        """Move it; nothing but tidying up if it lives there.

        Raises:
            Malformed: There is no such database.
            Unknown: There is no such household.
            NotReady: What arrived is not what was sent.
            StoreError: A database that is needed cannot be reached.
        """
        if self.name not in self.store.places:
            names = ", ".join(self.store.places)
            raise Malformed(NO_PLACE.format(name=self.name, names=names))
        where = self.store.directory.asked(self.household)
        if where is None:
            raise Unknown(NO_HOUSEHOLD.format(household=self.household))
        rows = 0 if where.place == self.name else self._carried(where)
        if where.place == self.name and where.moving_to:
            self._say(CENTRAL, Where(self.name))
        left_over = self._tidied()
        return Moved(self.household, where.place, self.name, rows, left_over)

    def _carried(self, where: Where) -> int:
        """Refuse writes, copy, compare, and let the directory name the other database."""
        if where.moving_to not in {"", self.name}:
            # An earlier move to elsewhere did not come to its end.
            self._empty(where.moving_to, where)
        there = Where(where.place, self.name)
        self._say(CENTRAL, there)
        self.after("told the directory")
        self._say(where.place, there)
        self.after("refused writes")
        try:
            sent = self._copied(where.place)
            self.after("copied")
            self._compare(where.place, sent)
        except (NotReady, StoreError):
            self._undo(where)
            raise
        self.after("compared")
        self._say(CENTRAL, Where(self.name))
        self.after("switched")
        return sum(number for number, _ in sent.values())

    def _copied(self, place: str) -> dict[str, Digest]:
        """Put the rows of one database into the other, in the place of what an earlier try left there."""
        old, new = self.store.at(place), self.store.at(self.name)
        with (
            old.snapshot(Scope(self.household)) as reading,
            new.transaction(Scope(self.household)) as writing,
        ):
            # Where that is the central one, this is the directory, which still refuses writes.
            put_mark(writing, self.household, Where(place, self.name))
            _delete_rows(writing, self.household)
            return {table.name: _copy(reading, writing, table, self.household) for table in MOVED}

    def _compare(self, place: str, sent: dict[str, Digest]) -> None:
        old, new = self.store.at(place), self.store.at(self.name)
        with new.snapshot(Scope(self.household)) as reading:
            arrived = {table.name: _digest(_rows(reading, table, self.household)) for table in MOVED}
        with old.snapshot(Scope(self.household)) as reading:
            still = {table.name: _digest(_rows(reading, table, self.household)) for table in MOVED}
        if not (sent == arrived == still and self.same(LogStore(old.engine), LogStore(new.engine))):
            raise NotReady(NOT_THE_SAME.format(name=self.name, place=place))

    def _undo(self, where: Where) -> None:
        """Let the household be written where it was."""
        with suppress(StoreError):
            # Rows that are left there are nobody's until the next move, which deletes them.
            self._empty(self.name, Where(where.place))
        self._say(where.place, Where(where.place))
        self._say(CENTRAL, Where(where.place))

    def _tidied(self) -> tuple[str, ...]:
        """Say everywhere where the household lives, and delete what is left of it elsewhere."""
        here = Where(self.name)
        unasked = []
        # Those it left come first: while both have its rows it is counted where it was.
        for name in (*(one for one in self.store.places if one != self.name), self.name):
            try:
                if name == self.name:
                    self._say(name, here)
                else:
                    self._empty(name, here)
            except StoreError:
                unasked.append(name)
            self.after(f"tidied {name}")
        return tuple(unasked)

    def _say(self, name: str, where: Where) -> None:
        """Tell a database where the household lives, when nobody writes it there."""
        with self.store.at(name).transaction(Scope(self.household)) as connection:
            _have_alone(connection, self.household)
            _mark(connection, self.household, name, where)

    def _empty(self, name: str, where: Where) -> None:
        """Delete a household's rows in a database that is not its own, and say where that is."""
        with self.store.at(name).transaction(Scope(self.household)) as connection:
            _have_alone(connection, self.household)
            _mark(connection, self.household, name, where)
            _delete_rows(connection, self.household)


def _have_alone(connection: Connection, household: str) -> None:
    """Wait until nobody writes a household, and let nobody begin to until the transaction ends."""
    statement = text(f"SELECT pg_advisory_xact_lock({SHARED.replace('%s', ':household')})")
    connection.execute(statement, {"household": household})


def _mark(connection: Connection, household: str, name: str, where: Where) -> None:
    # The directory has a row of everybody, the other databases of those alone who left or are on their way.
    if name == CENTRAL or where != Where(name):
        put_mark(connection, household, where)
    else:
        drop_mark(connection, household)


def _rows(connection: Connection, table: Table, household: str) -> Iterator[list[tuple[Any, ...]]]:
    """A household's rows of a table in the order of their keys, some at a time."""
    order = [*table.primary_key.columns]
    asked = select(table).where(table.c.household_id == household).order_by(*order)
    for some in connection.execute(asked).partitions(MANY):
        yield [tuple(row) for row in some]


def _copy(reading: Connection, writing: Connection, table: Table, household: str) -> Digest:
    names = [column.name for column in table.columns]
    number, digest = 0, hashlib.sha256()
    for some in _rows(reading, table, household):
        writing.execute(insert(table), [dict(zip(names, row, strict=True)) for row in some])
        number += _add(digest, some)
    return number, digest.hexdigest()


def _digest(rows: Iterator[list[tuple[Any, ...]]]) -> Digest:
    number, digest = 0, hashlib.sha256()
    for some in rows:
        number += _add(digest, some)
    return number, digest.hexdigest()


def _add(digest: Any, rows: list[tuple[Any, ...]]) -> int:  # noqa: ANN401  hashlib has no public name for it
    for row in rows:
        # Every server tells instants by its own clock.
        said = [one.astimezone(UTC) if isinstance(one, datetime) else one for one in row]
        digest.update(repr(said).encode())
    return len(rows)


def _delete_rows(connection: Connection, household: str) -> None:
    for table in reversed(MOVED):
        connection.execute(delete(table).where(table.c.household_id == household))
