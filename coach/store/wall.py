"""What a transaction of PostgreSQL may touch: it says so as it begins, and the policies of the tables ask.

The seventh migration makes the policies. A setting holds until its transaction ends and no longer, so that
nothing is left on a connection that another one is given next, by our pool or by a pooler between.
"""

from __future__ import annotations

from contextlib import contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from sqlalchemy import text

from coach.limits import BUSY_SECONDS
from coach.store.failures import database_name, store_error

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from sqlalchemy import Connection, Executable, Row

SCOPE_OPTION = "steading_scope"
"""Execution option that holds what a connection's transactions may touch."""

BEGIN_OPTION = "steading_begin"
"""Execution option that says how a transaction begins: what follows the word BEGIN, or none begins (None)."""


@dataclass(frozen=True, slots=True)
class Scope:
    """What a transaction may touch.

    Attributes:
        household: The household whose rows it may read and write; empty: none.
        at_door: Whether it may read and write who belongs to which household and what happened at the doors.
        counts: Whether it may read what households let be counted, of all of them.
    """

    household: str = ""
    at_door: bool = False
    counts: bool = False

    def settings(self) -> dict[str, str]:
        """The settings that say so."""
        said = {"steading.household": self.household}
        said |= {"steading.door": "on"} if self.at_door else {}
        return said | ({"steading.counts": "on"} if self.counts else {})


NOBODY = Scope()
DOOR = Scope(at_door=True)
COUNTS = Scope(counts=True)


def begin_walled(connection: Connection) -> None:
    """Begin a transaction of PostgreSQL and say what it may touch, in one journey to the server.

    Raises:
        StoreError: The server cannot be reached, or does not take it.
    """
    options = connection.get_execution_options()
    how = options.get(BEGIN_OPTION, "")
    if how is not None:
        said = {"lock_timeout": f"{BUSY_SECONDS}s"} | options.get(SCOPE_OPTION, NOBODY).settings()
        parts = [f"BEGIN {how}", *(f"SET LOCAL {name} = %s" for name in said)]
        _run(connection, "; ".join(parts), list(said.values()))


def read_once(
    connection: Connection, scope: Scope, statement: Executable, values: Mapping[str, object]
) -> Sequence[Row[Any]] | Sequence[tuple[Any, ...]]:
    """The rows of one statement that stands alone; on a server it is sent together with its scope.

    Args:
        connection: Without a transaction.
        scope: What it may touch.
        statement: The statement.
        values: What it is run with.
    """
    if connection.dialect.name == "sqlite":
        return connection.execute(statement, dict(values)).all()
    said = scope.settings()
    settings = ", ".join(f"set_config('{name}', %({name})s, true)" for name in said)
    compiled = statement.compile(dialect=connection.dialect)  # type: ignore[attr-defined]  # every one of ours can
    return _run(connection, f"SELECT {settings}; {compiled}", {**compiled.params, **values, **said})


def look_into(connection: Connection, household: str) -> None:
    """Let what follows in a transaction touch the rows of a household, in the place of another's."""
    _set(connection, "steading.household", household)


@contextmanager
def looking_for(connection: Connection, person: str) -> Iterator[None]:
    """Let what is run in the block see who belongs to any household, and the rows that somebody wrote."""
    scope: Scope = connection.get_execution_options().get(SCOPE_OPTION, NOBODY)
    _set(connection, "steading.author", person)
    _set(connection, "steading.door", "on")
    yield
    # After an error nothing can be said any more, and what was set ends with the transaction.
    _set(connection, "steading.author", "")
    _set(connection, "steading.door", scope.settings().get("steading.door", ""))


def wall_fault(connection: Connection) -> str | None:
    """Why the wall does not hold for whoever is connected; None if it does, or there need be none."""
    if connection.dialect.name == "sqlite":
        return None
    asked = text("SELECT rolname FROM pg_roles WHERE rolname = current_user AND (rolsuper OR rolbypassrls)")
    name = connection.execute(asked).scalar_one_or_none()
    return None if name is None else MISSING.format(name=name)


MISSING = (
    "The user “{name}” passes over the wall between households that stands in the database, as superusers "
    "do. Give Steading a user of its own: CREATE ROLE steading LOGIN, and let it own the database."
)


def _set(connection: Connection, name: str, value: str) -> None:
    if connection.dialect.name != "sqlite":
        connection.execute(text("SELECT set_config(:name, :value, true)"), {"name": name, "value": value})


def _run(connection: Connection, statements: str, values: Any) -> list[tuple[Any, ...]]:  # noqa: ANN401  by place or name
    """Send several statements at once, with their values written into them, and give the last one's rows."""
    from psycopg import ClientCursor, Error  # noqa: PLC0415  it comes with PostgreSQL alone

    driver: Any = connection.connection.driver_connection
    try:
        with ClientCursor(driver) as cursor:
            cursor.execute(statements, values)
            while cursor.nextset():
                pass
            return cursor.fetchall() if cursor.description else []
    except Error as error:
        raise store_error(error, database_name(connection.engine.url)) or error from error
