"""A request that may be sent again: its answer is kept in the transaction that writes what it asks for."""

from __future__ import annotations

import sys
from contextlib import AbstractContextManager, ExitStack, contextmanager, nullcontext
from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING, TypeVar

from coach.errors import AskedOtherwise
from coach.limits import ANSWER_BYTES, ANSWERS_DAYS

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from datetime import datetime

    from coach.ground.answered import Answered
    from coach.ground.coaching import CoachingReading, CoachingWriting, Counting
    from coach.ground.people import PeopleReading, PeopleWriting, Shown
    from coach.ground.ports import Household, Reading, Store, Writing
    from coach.ground.sending import Feed

R = TypeVar("R")
W = TypeVar("W")

OTHERWISE = (
    "The request_id belongs to another request: this one goes elsewhere or has another body. "
    "Nothing was written; send it with an id of its own."
)


class Known(Exception):
    """The request was answered already; its answer is given again.

    It is no error that a use case could mind, so none of them catches it.

    Attributes:
        answered: That answer.
    """

    def __init__(self, answered: Answered) -> None:
        super().__init__()
        self.answered = answered


@dataclass(frozen=True, slots=True)
class Named:
    """A request that carries an id.

    Attributes:
        request_id: The id, which is the household's own.
        household: Who asks: a household, or a coach under a name that no household has.
        asked: SHA-256 of what is asked, as hexadecimal digits.
        at: The instant, aware.
    """

    request_id: str
    household: str
    asked: str
    at: datetime

    @property
    def since(self) -> datetime:
        """Answers that were given earlier are not known any more."""
        return self.at - timedelta(days=ANSWERS_DAYS)

    def checked(self, found: Answered | None) -> Answered | None:
        """The answer that is known to this request.

        Raises:
            AskedOtherwise: It was given to another request of the same id.
        """
        if found is not None and found.asked != self.asked:
            raise AskedOtherwise(OTHERWISE)
        return found


class OnceStore:
    """A store for one request: what it writes and the answer to it are committed together.

    The first transaction that writes stays open until the answer is there, and is what every later one of the
    same household is given, to read in too. Before anything else it is looked whether the answer is known.

    Only where a request writes about a household and about people apart does the first of the two end before
    the second begins; the answer is then kept with the second.

    Args:
        store: Where the households live.
        named: The request.
    """

    def __init__(self, store: Store, named: Named) -> None:
        self._store = store
        self._named = named
        self._stack = ExitStack()
        self._household: tuple[str, Writing] | None = None
        self._people: PeopleWriting | None = None
        self._coaching: CoachingWriting | None = None
        self._has_more = False
        self._lost: BaseException | None = None

    def version(self, household_id: str) -> Household | None:
        """The household's own row, as the request has left it so far."""
        writing = self._writing_of(household_id)
        return self._store.version(household_id) if writing is None else writing.household()

    def reading(self, household_id: str) -> AbstractContextManager[Reading]:
        """A transaction that only reads, or the open one, so that the request sees what it has written."""
        writing = self._writing_of(household_id)
        return self._store.reading(household_id) if writing is None else nullcontext(writing)

    @contextmanager
    def writing(self, household_id: str) -> Iterator[Writing]:
        """The transaction that writes about a household; it is rolled back if a block raises.

        Raises:
            Known: The request was answered already.
            AskedOtherwise: Another one of the same id was.
        """
        writing = self._writing_of(household_id)
        if writing is None:
            writing = self._begun(self._store.writing(household_id), self._of_household)
            self._household = household_id, writing
        with self._block():
            yield writing

    def shown(self, secret: str) -> Shown | None:
        """The session of that hash with the one whose it is."""
        return self._store.shown(secret)

    def fed(self, secret: str) -> Feed | None:
        """The feed of that hash."""
        return self._store.fed(secret)

    def people_reading(self) -> AbstractContextManager[PeopleReading]:
        """A transaction that only reads who there is, or the open one."""
        return self._store.people_reading() if self._people is None else nullcontext(self._people)

    @contextmanager
    def people_writing(self) -> Iterator[PeopleWriting]:
        """The transaction that writes about people; it is rolled back if a block raises.

        Raises:
            Known: The request was answered already.
            AskedOtherwise: Another one of the same id was.
        """
        if self._people is None:
            self._people = self._begun(self._store.people_writing(), self._of_people)
        with self._block():
            yield self._people

    def coaching_reading(self) -> AbstractContextManager[CoachingReading]:
        """A transaction that only reads groups, or the open one."""
        return self._store.coaching_reading() if self._coaching is None else nullcontext(self._coaching)

    @contextmanager
    def coaching_writing(self) -> Iterator[CoachingWriting]:
        """The transaction that writes about groups; it is rolled back if a block raises.

        Raises:
            Known: The request was answered already.
            AskedOtherwise: Another one of the same id was.
        """
        if self._coaching is None:
            self._coaching = self._begun(self._store.coaching_writing(), self._of_people)
        with self._block():
            yield self._coaching

    def counting(self) -> AbstractContextManager[Counting]:
        """A transaction that reads of many households."""
        return self._store.counting()

    def trouble(self) -> str | None:
        """What keeps everything from being written though it can be read, and what to do."""
        return self._store.trouble()

    def known(self) -> Answered | None:
        """The answer that is known to the request, where it failed before it came to write.

        Raises:
            AskedOtherwise: It was given to another request of the same id.
        """
        with self._store.reading(self._named.household) as reading:
            found = reading.answered(self._named.request_id, self._named.since)
        if found is None:
            # What was written about people or groups may have been written elsewhere.
            with self._store.people_reading() as people:
                found = self._of_people(people)
        return self._named.checked(found)

    def run(self, work: Callable[[], R], answer: Callable[[R], Answered]) -> R:
        """What comes of the work, committed with the answer to it; nothing is if anything raises.

        An answer that is too long is not kept; its request, sent again, is answered with what stands.

        Raises:
            Known: The request was answered already.
            AskedOtherwise: Another one of the same id was.
        """
        with self._whole():
            found = work()
            if self._lost is not None:
                raise self._lost
            self._keep(answer(found))
            self._end()
        return found

    def _keep(self, given: Answered) -> None:
        if len(given.body.encode()) > ANSWER_BYTES:
            return
        request_id, at, since = self._named.request_id, self._named.at, self._named.since
        apart = self._people or self._coaching
        if apart is not None:
            apart.keep_answer(self._named.household, request_id, given, at, since)
        # A household that was just deleted keeps nothing.
        elif self._household is not None and self._household[1].household() is not None:
            self._household[1].keep_answer(request_id, given, at, since)

    def _writing_of(self, household_id: str) -> Writing | None:
        return self._household[1] if self._household and self._household[0] == household_id else None

    def _begun(self, transaction: AbstractContextManager[W], answered: Callable[[W], Answered | None]) -> W:
        """Begin a transaction, which ends one that is open, and look whether the answer is known."""
        self._end()
        with ExitStack() as stack:
            writing = stack.enter_context(transaction)
            found = self._named.checked(answered(writing))
            if found is not None:
                raise Known(found)
            self._stack = stack.pop_all()
        return writing

    def _of_household(self, writing: Writing) -> Answered | None:
        return writing.answered(self._named.request_id, self._named.since)

    def _of_people(self, writing: PeopleReading | CoachingReading) -> Answered | None:
        return writing.answered(self._named.household, self._named.request_id, self._named.since)

    @contextmanager
    def _block(self) -> Iterator[None]:
        with self._whole():
            yield
        self._has_more = True

    @contextmanager
    def _whole(self) -> Iterator[None]:
        """Roll back what is open if the block raises."""
        try:
            yield
        except BaseException as error:
            if self._has_more:
                # Even if the use case goes on without this block, what it wrote before is gone with it.
                self._lost = error
            stack = self._let_go()
            # A transaction may say in words of its own what ended it.
            stack.__exit__(*sys.exc_info())
            raise

    def _end(self) -> None:
        """Commit what is open."""
        self._let_go().close()

    def _let_go(self) -> ExitStack:
        stack, self._stack = self._stack, ExitStack()
        self._household = self._people = self._coaching = None
        self._has_more = False
        return stack
