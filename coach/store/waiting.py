"""Waiting for others: for another program that keeps the database, or for another writer of our own."""

from __future__ import annotations

import sqlite3
import threading
import time
from collections import deque
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any, TypeVar

from coach.errors import Busy
from coach.limits import BUSY_SECONDS, WRITE_SECONDS
from coach.store.failures import OTHERS, capitalised, code_of, database_name, store_error

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from sqlalchemy import Connection

Answer = TypeVar("Answer")

PAUSE_SECONDS = 0.00025
"""Between two tries. SQLite's own pauses grow to a tenth of a second, in which a program that writes over and
over lets go of the database many times, and each time for less than a thousandth."""

PATIENCE_OPTION = "steading_patience"
"""Execution option that holds the patience of a connection's transactions."""

_KEPT = {sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED, sqlite3.SQLITE_PROTOCOL}


class Patience:
    """One bounded wait, which may be spent on several things.

    Args:
        seconds: How long, from now.
        ended: Set when nobody is to wait any more.
    """

    def __init__(self, seconds: float, ended: threading.Event | None = None) -> None:
        self._end = time.monotonic() + seconds
        self._ended = ended

    @property
    def left(self) -> float:
        """Seconds that are left, never less than none."""
        if self._ended is not None and self._ended.is_set():
            return 0.0
        return max(0.0, self._end - time.monotonic())

    def until_free(self, act: Callable[[], Answer]) -> Answer:
        """Try until nobody keeps the database any more, at least once; the last refusal is raised.

        Args:
            act: What to try; it has to leave nothing behind when it is refused.
        """
        while True:
            try:
                return act()
            except (Busy, sqlite3.Error) as error:
                if not (_is_kept(error) and self.left):
                    raise
            time.sleep(PAUSE_SECONDS)


class Turns:
    """The line in which the writers of one process stand, first come, first served.

    Args:
        name: The database as the person knows it.
    """

    def __init__(self, name: str) -> None:
        self._name = name
        self._guard = threading.Lock()
        self._held = False
        self._waiting: deque[threading.Event] = deque()

    @property
    def waiting(self) -> int:
        """How many stand in it."""
        return len(self._waiting)

    @contextmanager
    def take(self, patience: Patience) -> Iterator[None]:
        """Wait for one's turn and keep it while the block runs.

        Raises:
            Busy: It did not come in time.
        """
        self._wait(patience)
        try:
            yield
        finally:
            self._pass_on()

    def _wait(self, patience: Patience) -> None:
        mine = threading.Event()
        with self._guard:
            if not self._held:
                self._held = True
                return
            self._waiting.append(mine)
        if not mine.wait(patience.left):
            self._give_up(mine)

    def _give_up(self, mine: threading.Event) -> None:
        with self._guard:
            # The turn may have come at the very moment at which the wait ended.
            if mine.is_set():
                return
            self._waiting.remove(mine)
        raise Busy(capitalised(OTHERS.format(name=self._name)))

    def _pass_on(self) -> None:
        with self._guard:
            if self._waiting:
                self._waiting.popleft().set()
            else:
                self._held = False


def begin_immediate(connection: Connection) -> None:
    """Begin a transaction of SQLite with the right to write.

    Raises:
        Busy: Another program did not let go of the database in time.
        StoreError: The database cannot be written.
    """
    patience = connection.get_execution_options().get(PATIENCE_OPTION) or Patience(WRITE_SECONDS)
    driver: Any = connection.connection.driver_connection
    try:
        with _asking_once(driver):
            patience.until_free(lambda: driver.execute("BEGIN IMMEDIATE").close())
    except sqlite3.Error as error:
        raise store_error(error, database_name(connection.engine.url)) or error from error


def run_patiently(connection: Any, statement: str) -> None:  # noqa: ANN401  any driver's connection
    """Run a statement that SQLite may refuse at once, without waiting for other programs as it was told."""
    Patience(BUSY_SECONDS).until_free(lambda: connection.execute(statement).close())


@contextmanager
def _asking_once(driver: sqlite3.Connection) -> Iterator[None]:
    """Let SQLite answer at once that the database is kept, instead of waiting with its long pauses."""
    driver.execute("PRAGMA busy_timeout = 0").close()
    try:
        yield
    finally:
        driver.execute(f"PRAGMA busy_timeout = {BUSY_SECONDS * 1000}").close()


def _is_kept(error: Exception) -> bool:
    return isinstance(error, Busy) or (isinstance(error, sqlite3.Error) and code_of(error) in _KEPT)
