"""What a transaction of PostgreSQL may touch: it says so as it begins, and the policies of the tables ask.

The seventh migration makes the policies. A setting holds until its transaction ends and no longer, so that
nothing is left on a connection that another one is given next, by our pool or by a pooler between.
"""

from __future__ import annotations

from contextlib import contextmanager
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from sqlalchemy import text

from coach.limits import BUSY_SECONDS
from coach.store.failures import database_name, store_error

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from sqlalchemy import Connection, Executable

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
        author: A person whose rows it may read, whatever household they were written in; empty: nobody's.
        here: The name of the database, where there are several: its mark of the household is read as it
            begins, and who writes has a share in the household until the end.
    """

    household: str = ""
    at_door: bool = False
    counts: bool = False
    author: str = ""
    here: str = ""

    def settings(self) -> dict[str, str]:
        """The settings that say so."""
        said = {"steading.household": self.household}
        said |= {"steading.door": "on"} if self.at_door else {}
        said |= {"steading.author": self.author} if self.author else {}
        # Behind a policy PostgreSQL expects few rows, and would sort all spells instead of hashing them.
        return said | ({"steading.counts": "on", "enable_sort": "off"} if self.counts else {})


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
    if how is None:
        return
    scope: Scope = options.get(SCOPE_OPTION, NOBODY)
    said = {"lock_timeout": f"{BUSY_SECONDS}s"} | scope.settings()
    parts = [f"BEGIN {how}", *(f"SET LOCAL {name} = %s" for name in said)]
    asked = [] if not scope.here else [_MARK] if _ONLY_READS in how else [_SHARE, _MARK]
    found = _run(connection, "; ".join([*parts, *asked]), [*said.values(), *[scope.household] * len(asked)])
    if asked:
        connection.info[MARK] = found[-1][0] if found[-1] else None


MARK = "steading_mark"
"""Where a connection keeps what its database said of the household as the transaction began: where that lives
and where it is being moved; None if it has nothing to say."""

SHARED = "hashtextextended(%s, 0)"
"""The number of a household's lock: writers share it, and who moves the household has it alone."""

_ONLY_READS = "READ ONLY"
_SHARE = f"SELECT pg_advisory_xact_lock_shared({SHARED})"
_MARK = "SELECT place, moving_to FROM place WHERE household_id = %s"

Question = tuple["Executable", "Mapping[str, object]"]
"""A statement with what it is run with."""


def read_once(connection: Connection, scope: Scope, *questions: Question) -> list[Sequence[Any]]:
    """The rows of statements that stand alone; to a server they are sent together with their scope.

    Args:
        connection: Without a transaction.
        scope: What they may touch.
        questions: The statements; names that several of them have mean the same.
    """
    if connection.dialect.name == "sqlite":
        return [connection.execute(statement, dict(values)).all() for statement, values in questions]
    said = scope.settings()
    parts = ["SELECT " + ", ".join(f"set_config('{name}', %({name})s, true)" for name in said)]
    together: dict[str, object] = dict(said)
    for statement, values in questions:
        written, params = _compiled(statement)
        parts.append(written)
        together |= {**params, **values}
    return [*_run(connection, "; ".join(parts), together)[1:]]


@lru_cache(maxsize=256)
def _compiled(statement: Executable) -> tuple[str, Mapping[str, object]]:
    """A statement as the driver takes it, with the values that stand in it."""
    from sqlalchemy.dialects.postgresql.psycopg import dialect  # noqa: PLC0415  servers alone need it

    # To write one out takes longer than to run it.
    compiled = statement.compile(dialect=dialect())  # type: ignore[attr-defined, no-untyped-call]  # ours can
    return str(compiled), compiled.params


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


def _run(connection: Connection, statements: str, values: Any) -> list[list[tuple[Any, ...]]]:  # noqa: ANN401  by place or name
    """Send several statements at once, with their values written into them, and give the rows of each."""
    from psycopg import ClientCursor, Error  # noqa: PLC0415  it comes with PostgreSQL alone

    driver: Any = connection.connection.driver_connection
    try:
        with ClientCursor(driver) as cursor:
            cursor.execute(statements, values)
            found = [cursor.fetchall() if cursor.description else []]
            while cursor.nextset():
                found.append(cursor.fetchall() if cursor.description else [])
            return found
    except Error as error:
        raise store_error(error, database_name(connection.engine.url)) or error from error
