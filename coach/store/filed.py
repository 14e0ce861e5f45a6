"""The store in a SQLite file, which writes only while the file lies in its place."""

from __future__ import annotations

from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

from coach.store.households import SqlStore

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from sqlalchemy import Connection, Engine

    from coach.store.households import W
    from coach.store.place import Place
    from coach.store.wall import Scope


class FileStore(SqlStore):
    """Households in a SQLite file.

    Args:
        engine: The engine, which has no connection yet.
        place: Where the file lies.
    """

    def __init__(self, engine: Engine, place: Place) -> None:
        super().__init__(engine)
        self._place = place
        place.watch(engine)

    def trouble(self) -> str | None:
        """What is wrong with where the file lies, and what to do; None if it is in its place."""
        return self._place.trouble()

    @contextmanager
    def _writing(self, make: Callable[[Connection], W], scope: Scope) -> Iterator[W]:
        """A transaction that writes, with what is made of its connection.

        Raises:
            StoreError: The file is not in its place, before the block or after it.
        """
        with super()._writing(make, scope) as writing:
            self._place.check(writing.connection)
            yield writing
            # Asked once more: what is committed now is answered, and has to be there tomorrow.
            self._place.check(writing.connection)

    @contextmanager
    def held_open(self) -> Iterator[Any]:
        """The driver's connection to the file that is held open, wherever that lies now."""
        with self._connected(self._ways.single) as connection:
            yield connection.connection.driver_connection

    def close(self) -> None:
        """Close every pooled connection; the next one takes the file that lies there then."""
        self._place.leave(self.engine)
