"""In which database a household lives: a row of the central one says so, and a mark where it lived before."""

from __future__ import annotations

import threading
import time as clock
from collections import Counter, OrderedDict
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING, NamedTuple

from sqlalchemy import Text, bindparam, delete, func, insert, literal, select
from sqlmodel import col

from coach.errors import Busy
from coach.store.people_tables import PlaceTable
from coach.store.statements import HOUSEHOLD
from coach.store.wall import DOOR, Scope

if TYPE_CHECKING:
    from collections.abc import Sequence

    from sqlalchemy import ColumnElement, Connection
    from sqlalchemy.orm import Mapped

    from coach.store.households import SqlStore

CENTRAL = "first"
"""The name of the database that people, groups and the directory are in; households may live there too."""

REMEMBERED = 100_000
"""Households whose place a process remembers; about 20 MB."""

COUNTED_SECONDS = 300
"""How long a process goes on with how many households it counted in each database."""

_HOUSEHOLD = bindparam("household", type_=Text())
_of_household = col(PlaceTable.household_id) == _HOUSEHOLD
WHERE = select(col(PlaceTable.place), col(PlaceTable.moving_to)).where(_of_household)
_ADD = insert(PlaceTable)
_DROP = delete(PlaceTable).where(_of_household)
_NUMBERS = select(col(PlaceTable.place), func.count()).group_by(col(PlaceTable.place))


class Where(NamedTuple):
    """Where a household lives, and where it is being moved; empty: it stays."""

    place: str
    moving_to: str = ""


@dataclass(frozen=True, slots=True)
class Numbered:
    """A database.

    Attributes:
        name: Its name.
        households: How many live there, as far as the directory has a row of them.
        fault: Why it cannot be used; empty: it can.
    """

    name: str
    households: int
    fault: str


class Directory:
    """The rows of the central database that say where households live.

    What is remembered may be old: the database it names has a mark of every household that left it, and is
    asked for that as each transaction begins.

    Args:
        central: The central database.
        new_homes: The databases that new households go to.
    """

    def __init__(self, central: SqlStore, new_homes: Sequence[str]) -> None:
        self._central = central
        self._new_homes = tuple(new_homes)
        self._lock = threading.Lock()
        self._remembered: OrderedDict[str, str] = OrderedDict()
        self._numbers: Counter[str] = Counter()
        self._counted_at = -float(COUNTED_SECONDS)

    def place_of(self, household: str) -> str:
        """Where a household lives, as far as is remembered; one that is new, where it would be put."""
        with self._lock:
            found = self._remembered.get(household)
            if found is not None:
                self._remembered.move_to_end(household)
                return found
        asked = self.asked(household)
        return self._for_a_new_one() if asked is None else asked.place

    def asked(self, household: str) -> Where | None:
        """Where a household lives, as the directory says now; None: it says nothing of it and it is new.

        Raises:
            StoreError: The central database cannot be asked.
        """
        values = {"household": household}
        rows, own = self._central.ask(Scope(household), (WHERE, values), (HOUSEHOLD, values))
        if not rows and not own:
            return None
        # One that was there before there were several databases has no row.
        where = Where(*rows[0]) if rows else Where(CENTRAL)
        self._remember(household, where.place)
        return where

    def claim(self, household: str, place: str) -> None:
        """Write down that a new household lives in a database.

        Raises:
            Busy: Another one wrote down another database at the same moment.
        """
        with self._central.transaction(Scope(household)) as connection:
            claim_in(connection, household, place)
        self.took(household, place)

    def took(self, household: str, place: str) -> None:
        """Remember that a database has a household more."""
        self._remember(household, place)
        with self._lock:
            self._numbers[place] += 1

    def _remember(self, household: str, place: str) -> None:
        with self._lock:
            self._remembered[household] = place
            if len(self._remembered) > REMEMBERED:
                self._remembered.popitem(last=False)

    def numbers(self) -> Counter[str]:
        """How many households the directory says live in each database."""
        [found] = self._central.ask(DOOR, (_NUMBERS, {}))
        return Counter(dict(found))

    def _for_a_new_one(self) -> str:
        """The database with the fewest households among those that take new ones."""
        if len(self._new_homes) == 1:
            return self._new_homes[0]
        now = clock.monotonic()
        if now - self._counted_at >= COUNTED_SECONDS:
            found = self.numbers()
            with self._lock:
                self._numbers, self._counted_at = found, now
        with self._lock:
            return min(self._new_homes, key=lambda name: (self._numbers[name], self._new_homes.index(name)))


def claim_in(connection: Connection, household: str, place: str) -> None:
    """Write down in a transaction of the central database that a household lives in a database.

    Raises:
        Busy: It says another one already.
    """
    found = connection.execute(WHERE, {"household": household}).one_or_none()
    # Of two at once the one that comes second waits for the first one's end, and finds its row then.
    where = _added(connection, household, place) if found is None else Where(*found)
    if where.place != place:
        raise Busy("This household has just been started by another request. Try again in a moment.")


def _added(connection: Connection, household: str, place: str) -> Where:
    from sqlalchemy.dialects.postgresql import insert as insert_unless  # noqa: PLC0415  servers alone have several

    values = {"household_id": household, "place": place, "moving_to": "", "since": datetime.now(UTC)}
    connection.execute(insert_unless(PlaceTable).values(**values).on_conflict_do_nothing())
    return Where(*connection.execute(WHERE, {"household": household}).one())


def put_mark(connection: Connection, household: str, where: Where) -> None:
    """Say of a household in a database where it lives and where it is being moved, in the place of before."""
    connection.execute(_DROP, {"household": household})
    values = {"household_id": household, "place": where.place, "moving_to": where.moving_to}
    connection.execute(_ADD, {**values, "since": datetime.now(UTC)})


def drop_mark(connection: Connection, household: str) -> None:
    """Have nothing to say of a household: whoever asks here finds it."""
    connection.execute(_DROP, {"household": household})


def is_here(household: Mapped[str], here: str) -> ColumnElement[bool]:
    """The condition that no mark says that a household lives elsewhere.

    Args:
        household: The column of the household.
        here: The database's name.
    """
    of_household = col(PlaceTable.household_id) == household
    return ~select(literal(1)).where(of_household, col(PlaceTable.place) != here).exists()
