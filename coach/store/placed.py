"""One of several databases: households as they are read and written in the one they live in."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING, Any, Protocol

from sqlmodel import col

from coach.store import coaching_statements, statements
from coach.store.coaching_tables import EnrolmentTable, SpellTable
from coach.store.counting import SqlCounting
from coach.store.directory import CENTRAL, WHERE, Where, claim_in, is_here
from coach.store.households import SqlStore
from coach.store.people import SqlPeopleWriting, end_ways_in, known_to
from coach.store.raw import household_of
from coach.store.reading import SqlReading
from coach.store.wall import MARK, SCOPE_OPTION, Scope
from coach.store.writing import SqlWriting

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence

    from sqlalchemy import Connection, Engine, Select
    from sqlalchemy.sql import Executable

    from coach.ground.people import Member
    from coach.ground.ports import CourseVersion, Household
    from coach.store.directory import Directory


class Elsewhere(Exception):
    """A household lives in another database by now."""


class Moving(Exception):
    """A household is being moved, so nothing may be written."""


class Centre(Protocol):
    """What a database asks of the central one, and of the others."""

    directory: Directory

    def members(self, household: str) -> Sequence[Member]:
        """Who belongs to a household."""

    def members_at(self, household: str, version: int) -> int:
        """How many that are, for a version of the household."""

    def names_of(self, people: Collection[str]) -> Mapping[str, str]:
        """What people are called."""

    def wrote_beside(self, person: str, here: str) -> bool:
        """Whether somebody wrote rows in another database than this one."""

    def known_in(self, household: str) -> Collection[str]:
        """Who is named by a household's rows, wherever it lives."""


class PlacedReading(SqlReading):
    """A household whose people are in the central database."""

    def __init__(self, connection: Connection, household_id: str, centre: Centre) -> None:
        self._centre = centre
        super().__init__(connection, household_id)

    def members(self) -> Sequence[Member]:
        """Who belongs to the household, in the order in which they joined."""
        return self._centre.members(self._id)

    def names_of(self, people: Collection[str]) -> Mapping[str, str]:
        """What people are called, by their keys, whether they belong to it still or not."""
        return self._centre.names_of(people)

    def names(self) -> Sequence[str]:
        """For each row of the log, in the order written, what the one who wrote it is called, or nothing."""
        by = list(self._run(statements.AUTHORS).scalars())
        names = self._centre.names_of(set(by) - {""})
        return [names.get(person, "") for person in by]

    def _read_opening(self) -> tuple[Household | None, list[CourseVersion]]:
        household, versions = super()._read_opening()
        if household is not None:
            household = replace(household, members=self._centre.members_at(household.id, household.version))
        return household, versions


class PlacedWriting(PlacedReading, SqlWriting):
    """The same with the right to write.

    Attributes:
        cleared: Whom the household's rows named when it was deleted; None: it was not.
    """

    cleared: Sequence[str] | None = None

    def create(self, household: Household) -> None:
        """Write the household's own row; AlreadyStarted if there is one."""
        here = self.connection.get_execution_options()[SCOPE_OPTION].here
        self._centre.directory.claim(self._id, here)
        super().create(household)

    def clear(self) -> None:
        """Delete everything of this household; the central database lets go of its people after this."""
        self.cleared = known_to(self.connection, self._id)
        super().clear()


class CentralWriting(SqlWriting):
    """A household that lives in the central database beside its people."""

    def __init__(self, connection: Connection, household_id: str, centre: Centre) -> None:
        self._centre = centre
        super().__init__(connection, household_id)

    def create(self, household: Household) -> None:
        """Write the household's own row; AlreadyStarted if there is one."""
        claim_in(self.connection, self._id, CENTRAL)
        super().create(household)
        self._centre.directory.took(self._id, CENTRAL)

    def _forget(self, people: Sequence[str]) -> None:
        super()._forget([one for one in people if not self._centre.wrote_beside(one, CENTRAL)])
        end_ways_in(self.connection, people)


class SpreadPeople(SqlPeopleWriting):
    """People whose households live in several databases.

    Attributes:
        grown_elsewhere: Households of other databases that have to get their next version after this.
    """

    def __init__(self, connection: Connection, centre: Centre) -> None:
        self._centre = centre
        self.grown_elsewhere: set[str] = set()
        super().__init__(connection)

    def grow(self, household: str) -> None:
        """Give a household its next version, at once or as soon as this is committed."""
        if self._centre.directory.place_of(household) == CENTRAL:
            super().grow(household)
        else:
            self.grown_elsewhere.add(household)

    def _known(self, household: str) -> list[str]:
        return [*{*super()._known(household), *self._centre.known_in(household)}]

    def _forget(self, people: Sequence[str]) -> None:
        super()._forget([one for one in people if not self._centre.wrote_beside(one, CENTRAL)])
        end_ways_in(self.connection, people)


class PlacedCounting(SqlCounting):
    """The households that live in one of several databases.

    Args:
        connection: With a transaction that reads.
        here: The database's name.
    """

    def __init__(self, connection: Connection, here: str) -> None:
        super().__init__(connection)
        self._here = here

    def _run(self, statement: Executable, **values: object) -> Any:  # noqa: ANN401  rows of any shape
        return super()._run(_counted_in(statement, self._here), **values)


@lru_cache(maxsize=64)
def _counted_in(statement: Select[Any], here: str) -> Select[Any]:
    """A statement of the counts about those alone who live in a database."""
    of_spells = statement is coaching_statements.SPELLS_OF
    return statement.where(is_here(col((SpellTable if of_spells else EnrolmentTable).household_id), here))


class CountedStore(SqlStore):
    """A database, or a standby of it, that nothing but counts is asked of.

    Args:
        engine: Its engine.
        here: The name of the database.
    """

    def __init__(self, engine: Engine, here: str) -> None:
        super().__init__(engine)
        self.here = here

    def _count(self, connection: Connection) -> SqlCounting:
        return PlacedCounting(connection, self.here)


class PlacedStore(CountedStore):
    """One of several databases.

    Args:
        engine: Its engine.
        here: Its name.
        centre: The central database and what it knows of the others.
    """

    def __init__(self, engine: Engine, here: str, centre: Centre) -> None:
        super().__init__(engine, here)
        self._centre = centre

    def version(self, household_id: str) -> Household | None:
        """The household's own row by one read; Elsewhere if it does not live here."""
        values = {"household": household_id}
        mark, found = self.ask(Scope(household_id), (WHERE, values), (statements.HOUSEHOLD, values))
        self._settled(household_id, mark[0] if mark else None)
        if not found:
            return None
        household = household_of(household_id, *found[0])
        if self.here == CENTRAL:
            return household
        return replace(household, members=self._centre.members_at(household_id, household.version))

    def _scope(self, household_id: str) -> Scope:
        return Scope(household_id, here=self.here)

    def _read(self, connection: Connection, household_id: str) -> SqlReading:
        connection.begin()
        self._settled(household_id, connection.info[MARK])
        if self.here == CENTRAL:
            return SqlReading(connection, household_id)
        return PlacedReading(connection, household_id, self._centre)

    def _write(self, household_id: str, connection: Connection) -> SqlWriting:
        where = self._settled(household_id, connection.info[MARK])
        if where is not None and where.moving_to:
            raise Moving
        made = CentralWriting if self.here == CENTRAL else PlacedWriting
        return made(connection, household_id, self._centre)

    def _meet(self, connection: Connection) -> SpreadPeople:
        return SpreadPeople(connection, self._centre)

    def _settled(self, household_id: str, mark: Sequence[str] | None) -> Where | None:
        """See that a household lives here: a mark says that it may not, and then the directory is asked.

        Raises:
            Elsewhere: It does not.
        """
        if mark is None or tuple(mark) == (self.here, ""):
            return None
        # The central one's marks are the directory itself.
        central = self.here == CENTRAL
        where = Where(*mark) if central else self._centre.directory.asked(household_id)
        if where is not None and where.place != self.here:
            raise Elsewhere
        return where
