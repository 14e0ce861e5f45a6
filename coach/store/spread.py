"""Households spread over several databases of PostgreSQL, behind the same port as one."""

from __future__ import annotations

import threading
import time as clock
from contextlib import ExitStack, contextmanager, suppress
from typing import TYPE_CHECKING, TypeVar

from coach.errors import Busy, StoreError
from coach.store import people_statements
from coach.store.directory import CENTRAL, Directory, Numbered
from coach.store.migrations import migrate
from coach.store.placed import CountedStore, Elsewhere, Moving, PlacedStore, PlacedWriting
from coach.store.spread_counting import SpreadCounting
from coach.store.spread_people import People
from coach.store.statements import WROTE_ANYWHERE
from coach.store.wall import NOBODY, Scope

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
    from contextlib import AbstractContextManager

    from sqlalchemy import Engine

    from coach.ground.people import Shown
    from coach.ground.ports import Household
    from coach.ground.sending import Feed
    from coach.store.coaching import SqlCoachingReading, SqlCoachingWriting
    from coach.store.households import SqlStore
    from coach.store.people import SqlPeopleReading, SqlPeopleWriting
    from coach.store.reading import SqlReading
    from coach.store.writing import SqlWriting

T = TypeVar("T")

MOVE_SECONDS = 1.0
"""How long a write waits for a move of its household to end before it is refused."""

_PAUSE_SECONDS = 0.05
_ASKED_AGAIN = 5
"""How often it is asked where a household lives that is moved and moved again."""

MOVING = "This household is being moved to another database, so nothing was written. Try again in a moment."


class SpreadStore(People):
    """A central database for people and groups, and several for households.

    What belongs to people is committed before the household's next version is, where that lives elsewhere: if
    the service ends between the two, everything that was written stands, and pages that were kept for the
    household's version show its people as they were, until its next write or for a minute.

    Args:
        engines: The engines by the names of their databases; the central one's is `first`.
        new_homes: The databases that new households go to; none: all.
        counted: Where the counts of a database are asked instead of there: at a standby.
    """

    def __init__(
        self,
        engines: Mapping[str, Engine],
        new_homes: Sequence[str] = (),
        counted: Mapping[str, SqlStore] | None = None,
    ) -> None:
        self.places = {name: PlacedStore(engine, name, self) for name, engine in engines.items()}
        self.ended = threading.Event()
        for place in self.places.values():
            place.ended = self.ended
        self.central: PlacedStore = self.places[CENTRAL]
        self.engine = self.central.engine
        self.directory = Directory(self.central, new_homes or tuple(engines))
        self._counted = counted or {}
        self._lock = threading.Lock()
        self._ready: set[str] = set()
        super().__init__()

    @classmethod
    def counted(cls, engine: Engine, name: str) -> SqlStore:
        """A database or its standby that nothing but counts is asked of."""
        return CountedStore(engine, name)

    def at(self, name: str) -> PlacedStore:
        """A database by its name, with its tables brought up to date the first time.

        Raises:
            StoreError: There is none of that name, or it cannot be reached.
        """
        place = self.places.get(name)
        if place is None:
            raise StoreError(f"There is no database “{name}” in COACH_DATABASES, where a household lives.")
        if name not in self._ready:
            migrate(place.engine)
            with self._lock:
                self._ready.add(name)
        return place

    def numbers(self) -> list[Numbered]:
        """How many households live in each database, and what is wrong with it."""
        numbers = self.directory.numbers()
        return [Numbered(name, numbers[name], self._fault(name)) for name in self.places]

    def _fault(self, name: str) -> str:
        try:
            self.at(name).ask(NOBODY, (people_statements.ALIVE, {}))
        except StoreError as error:
            return str(error)
        return ""

    def version(self, household_id: str) -> Household | None:
        """The household's own row, by one read where it lives."""
        return self._there(household_id, lambda store: store.version(household_id))

    @contextmanager
    def reading(self, household_id: str) -> Iterator[SqlReading]:
        """A transaction that only reads and sees the household at one instant, where it lives."""
        with ExitStack() as opened:
            yield self._there(household_id, lambda store: opened.enter_context(store.reading(household_id)))

    @contextmanager
    def writing(self, household_id: str) -> Iterator[SqlWriting]:
        """A transaction that writes where the household lives; committed when the block ends.

        Raises:
            Busy: The household is being moved.
        """
        with ExitStack() as opened:
            writing = self._there(household_id, lambda one: opened.enter_context(one.writing(household_id)))
            yield writing
        if isinstance(writing, PlacedWriting) and writing.cleared is not None:
            self.let_go_of(household_id, writing.cleared)

    def shown(self, secret: str) -> Shown | None:
        """The session of that hash with the one whose it is, by one read."""
        return self.central.shown(secret)

    def fed(self, secret: str) -> Feed | None:
        """The feed of that hash, by one read."""
        return self.central.fed(secret)

    def people_reading(self) -> AbstractContextManager[SqlPeopleReading]:
        """A transaction that only reads who there is and what lets them in."""
        return self.central.people_reading()

    @contextmanager
    def people_writing(self) -> Iterator[SqlPeopleWriting]:
        """The same with the right to write; households elsewhere get their next version after it."""
        with self.central.people_writing() as writing:
            yield writing
        for household in sorted(getattr(writing, "grown_elsewhere", ())):
            # What was written stands, and a database that cannot be reached now shows nobody anything.
            with suppress(StoreError):
                self.grow(household)

    def coaching_reading(self) -> AbstractContextManager[SqlCoachingReading]:
        """A transaction that only reads groups and what belongs to them."""
        return self.central.coaching_reading()

    def coaching_writing(self) -> AbstractContextManager[SqlCoachingWriting]:
        """The same with the right to write."""
        return self.central.coaching_writing()

    @contextmanager
    def counting(self) -> Iterator[SpreadCounting]:
        """A transaction in each database, that only reads; what cannot be reached is named as missing."""
        with ExitStack() as opened:
            yield SpreadCounting({name: self._opening(opened, name) for name in self.places})

    def trouble(self) -> str | None:
        """What keeps everything from being written though it can be read; servers have nothing to tell."""
        return None

    def gaps(self) -> list[str]:
        """Where the wall between households does not hold, as far as the databases can be reached."""
        found: list[str] = []
        for name in self.places:
            with suppress(StoreError):
                found += self.at(name).gaps()
        return found

    def close(self) -> None:
        """Close every pooled connection."""
        for store in (*self.places.values(), *self._counted.values()):
            store.close()

    def wrote_beside(self, person: str, here: str) -> bool:
        """Whether somebody wrote rows in another database than this one."""
        asked = (WROTE_ANYWHERE, {"person": person})
        others = (name for name in self.places if name != here)
        return any(self.at(name).ask(Scope(author=person), asked)[0][0][0] for name in others)

    def known_in(self, household: str) -> Collection[str]:
        """Who is named by a household's rows, wherever it lives."""
        store = self.at(self.directory.place_of(household))
        [found] = store.ask(Scope(household), (people_statements.KNOWN, {"household": household}))
        return [person for (person,) in found if person]

    def grow(self, household: str) -> None:
        """Give a household its next version where it lives; nothing if it has not started."""
        with self.writing(household) as writing:
            writing.show_people_anew()

    def _opening(self, opened: ExitStack, name: str) -> Callable[[], object]:
        def begin() -> object:
            store = self._counted.get(name) or self.at(name)
            return opened.enter_context(store.counting())

        return begin

    def _there(self, household_id: str, act: Callable[[PlacedStore], T]) -> T:
        """Do something in the database that a household lives in."""
        until = clock.monotonic() + MOVE_SECONDS
        moved = 0
        while True:
            try:
                return act(self.at(self.directory.place_of(household_id)))
            except Elsewhere:
                moved += 1
                self.directory.asked(household_id)
                if moved == _ASKED_AGAIN:
                    raise Busy(MOVING) from None
            except Moving:
                if clock.monotonic() >= until or self.ended.is_set():
                    raise Busy(MOVING) from None
                clock.sleep(_PAUSE_SECONDS)
