"""What a database says when it cannot be used, put into a sentence for a person."""

from __future__ import annotations

import sqlite3
from typing import TYPE_CHECKING

from coach.errors import Busy, StoreError

if TYPE_CHECKING:
    from sqlalchemy import URL
    from sqlalchemy.engine import ExceptionContext

FULL = "the disk that holds {name} is full, so nothing was written. Free some space and try again."
READ_ONLY = (
    "{name} cannot be written: the file, its folder or its disk is read-only. Make it writable and try again."
)
BUSY = "another program kept {name} busy for too long, so nothing was written. Close it or try again."
OTHERS = "other writes kept {name} busy for too long, so nothing was written. Try again in a moment."
NOT_OURS = (
    "{name} is not a Steading database. Name another file, or bring a backup back with `coach restore`."
)
DAMAGED = "{name} is damaged. Bring a backup back with `coach restore`."
NO_ENTRY = "{name} cannot be opened. See that its folder exists and that you may read and write there."
UNREADABLE = "the disk that holds {name} failed while reading or writing. Check the disk, then try again."
UNREACHABLE = "{name} cannot be reached. See that the server runs, and that the URL names it rightly."
FORBIDDEN = "the user in the URL may not do this in {name}. Grant the right, or connect as the owner."
CROWDED = "{name} takes no more connections now. Try again in a moment."

_SQLITE = {
    sqlite3.SQLITE_FULL: FULL,
    sqlite3.SQLITE_READONLY: READ_ONLY,
    sqlite3.SQLITE_BUSY: BUSY,
    sqlite3.SQLITE_LOCKED: BUSY,
    sqlite3.SQLITE_PROTOCOL: BUSY,
    sqlite3.SQLITE_NOTADB: NOT_OURS,
    sqlite3.SQLITE_CORRUPT: DAMAGED,
    sqlite3.SQLITE_CANTOPEN: NO_ENTRY,
    sqlite3.SQLITE_PERM: NO_ENTRY,
    sqlite3.SQLITE_IOERR: UNREADABLE,
}

# Keys are SQLSTATE values or their two-letter classes, https://www.postgresql.org/docs/current/errcodes-appendix.html
_POSTGRESQL = {
    "08": UNREACHABLE,
    "57": UNREACHABLE,
    "25006": READ_ONLY,
    "40": BUSY,
    "42501": FORBIDDEN,
    "53": CROWDED,
    "53100": FULL,
    "55P03": BUSY,
    "58": UNREADABLE,
    "XX001": DAMAGED,
    "XX002": DAMAGED,
}


def explain(context: ExceptionContext) -> None:
    """Raise StoreError in place of a driver's error that has a cause outside the program.

    Registered for SQLAlchemy's `handle_error`; other errors pass as they are, being faults of our own.
    """
    if context.is_pre_ping:
        # The pool asks whether an old connection still lives, and opens another if not.
        return
    cause = context.original_exception
    name = "the database" if context.engine is None else database_name(context.engine.url)
    error = store_error(cause, name)
    if error is not None:
        raise error from cause


def store_error(error: BaseException, name: str) -> StoreError | None:
    """What to raise in place of a driver's error; None for a fault of our own.

    Args:
        error: What the driver raised.
        name: The database as the person knows it.
    """
    form = _form(error)
    if form is None:
        return None
    said = capitalised(form.format(name=name))
    return Busy(said) if form == BUSY else StoreError(said)


def sentence(error: BaseException, name: str) -> str | None:
    """The sentence for a driver's error; None for a fault of our own.

    Args:
        error: What the driver raised.
        name: The database as the person knows it.
    """
    form = _form(error)
    return None if form is None else capitalised(form.format(name=name))


def code_of(error: sqlite3.Error) -> int:
    """SQLite's primary code for an error; an extended code keeps it in the lowest eight bits."""
    return getattr(error, "sqlite_errorcode", 0) & 0xFF


def database_name(url: URL) -> str:
    """The database as the person knows it: its file, or its address without the password."""
    if url.get_backend_name() == "sqlite":
        return f"the database {url.database}"
    return f"the database {url.set(drivername='postgresql').render_as_string(hide_password=True)}"


def capitalised(text: str) -> str:
    """The text with a capital first letter and the rest as it was."""
    return text[:1].upper() + text[1:]


def _form(error: BaseException) -> str | None:
    if isinstance(error, sqlite3.OperationalError) and str(error).startswith("Could not decode to UTF-8"):
        return DAMAGED
    return _SQLITE.get(code_of(error)) if isinstance(error, sqlite3.Error) else _from_server(error)


def _from_server(error: BaseException) -> str | None:
    state = getattr(error, "sqlstate", None)
    if state is not None:
        return _POSTGRESQL.get(state) or _POSTGRESQL.get(state[:2])
    if type(error).__name__ not in {"OperationalError", "ConnectionTimeout"}:
        return None
    # A connection that fails has no state; the server's own last line says more than we could.
    reason = str(error).strip().splitlines()[-1:] or [""]
    return f"{UNREACHABLE} It said: {reason[0].replace('{', '(').replace('}', ')')}"
