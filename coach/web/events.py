"""What is logged of a request that was refused or failed: its kind and its route, never what was sent."""

from __future__ import annotations

import errno
import logging
import traceback
from pathlib import Path
from typing import TYPE_CHECKING

import coach
from coach.web.addresses import route_at

if TYPE_CHECKING:
    from starlette.types import Scope

log = logging.getLogger("coach.events")

TOLD = {
    "host": logging.WARNING,
    "cross-site": logging.WARNING,
    "too-large": logging.WARNING,
    "request": logging.WARNING,
    "crowded": logging.WARNING,
    "store": logging.ERROR,
    "failure": logging.ERROR,
}
"""The kinds of problem that whoever runs Steading may have to see to, and how serious they are."""

ALREADY_TOLD = "Steading has logged this."
"""A note on an exception that is on its way to the server, which would log it once more."""

MOST_FRAMES = 5
"""So many of our own places are named on the way to where an exception was raised."""

_METHODS = frozenset({"GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS"})
_OURS = Path(coach.__file__).parent.parent


def tell(scope: Scope, kind: str, error: BaseException | None = None) -> None:
    """Log a problem of a kind that is told, in one line.

    Args:
        scope: The request's. Its path may hold a person's words, so its route is told, and its method only if
            that is a usual one.
        kind: The problem's.
        error: What was raised, if that says more.
    """
    if kind not in TOLD or "app" not in scope:
        return
    method = scope["method"] if scope["method"] in _METHODS else "another method"
    route = route_at(scope) or "no route"
    place = "" if error is None else f": {raised(error)}"
    log.log(TOLD[kind], "%s, %s %s%s", kind, method, route, place, extra={"kind": kind})
    if error is not None:
        error.add_note(ALREADY_TOLD)


def raised(error: BaseException) -> str:
    """The class of an exception and of those behind it, and where they were raised; not what they say."""
    said, seen = [], {id(error)}
    found: BaseException | None = error
    while found is not None:
        said.append(f"{type(found).__name__}{_code(found)}{_where(found)}")
        found = found.__cause__ or (None if found.__suppress_context__ else found.__context__)
        found = None if id(found) in seen else found
        seen.add(id(found))
    return ", after ".join(said)


def _code(error: BaseException) -> str:
    """How the database or the system names an error, which says more than its class."""
    number = error.errno if isinstance(error, OSError) else None
    code = getattr(error, "sqlite_errorname", None) or getattr(error, "sqlstate", None)
    code = code or (errno.errorcode.get(number) if number else None)
    return f" {code}" if code else ""


def _where(error: BaseException) -> str:
    """File and line of where an exception was raised, and before it the way there through our own files."""
    frames = [(Path(one.filename), one.lineno) for one in traceback.extract_tb(error.__traceback__)]
    ours = [(file.relative_to(_OURS), line) for file, line in frames if file.is_relative_to(_OURS / "coach")]
    way = [f"{file.as_posix()}:{line}" for file, line in ours[-MOST_FRAMES:]]
    if frames and not frames[-1][0].is_relative_to(_OURS / "coach"):
        file, line = frames[-1]
        way.append(f"{file.parent.name}/{file.name}:{line}")
    return f" at {' > '.join(way)}" if way else ""
