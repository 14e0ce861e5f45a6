"""What is logged of a request that was refused, failed or let somebody in: its kind and its route alone."""

from __future__ import annotations

import errno
import logging
import traceback
from http import HTTPStatus
from pathlib import Path
from typing import TYPE_CHECKING

import coach
from coach.web.addresses import route_at

if TYPE_CHECKING:
    from starlette.types import Message, Scope, Send

log = logging.getLogger("coach.events")

TOLD = {
    "host": logging.WARNING,
    "cross-site": logging.WARNING,
    "too-large": logging.WARNING,
    "request": logging.WARNING,
    "crowded": logging.WARNING,
    "unpaired": logging.WARNING,
    "not-allowed": logging.WARNING,
    "wrong-code": logging.WARNING,
    "wrong-passkey": logging.WARNING,
    "too-often": logging.WARNING,
    "store": logging.ERROR,
    "failure": logging.ERROR,
}
"""The kinds of problem that whoever runs Steading may have to see to, and how serious they are."""

ALREADY_TOLD = "Steading has logged this."
"""A note on an exception that is on its way to the server, which would log it once more."""

MOST_FRAMES = 5
"""So many of our own places are named on the way to where an exception was raised."""

WAY = "way-in"
"""The kind of a line about somebody who was let in or out, or about a change of who and what is let in."""

WAYS = (
    "/pair",
    "/enrol",
    "/devices",
    "/tokens",
    "/passkeys",
    "/people",
    "/recovery",
    "/sign-in",
    "/invitations",
    "/sign-out",
    "/calendar",
    "/api/pair",
    "/api/enrol",
    "/api/devices",
    "/api/passkeys",
    "/api/recovery",
    "/api/sign-in",
    "/api/tokens",
    "/api/people",
    "/api/invitations",
    "/api/sign-out",
    "/api/feeds",
)
"""How the addresses begin where somebody is let in or out, or where it is changed who and what is."""

_TOLD = "told"
_READING = frozenset({"GET", "HEAD", "OPTIONS"})
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
    place = "" if error is None else f": {raised(error)}"
    _write(scope, TOLD[kind], kind, place)
    scope.setdefault("state", {})[_TOLD] = kind
    if error is not None:
        error.add_note(ALREADY_TOLD)


def watched(scope: Scope, send: Send) -> Send:
    """The way an answer goes out; what came of a request at one of the ways in and out is logged as it does.

    One line for each: that it was done, or the kind of problem, which `tell` has logged, or else the status.
    """
    if scope["method"] in _READING or not scope["path"].startswith(WAYS):
        return send

    async def telling(message: Message) -> None:
        if message["type"] == "http.response.start":
            _tell_way(scope, message["status"])
        await send(message)

    return telling


def _tell_way(scope: Scope, status: int) -> None:
    if status < HTTPStatus.BAD_REQUEST:
        _write(scope, logging.INFO, WAY, ": done")
    elif _TOLD not in scope.get("state", {}):
        _write(scope, logging.WARNING, WAY, f": refused with {status}")


def _write(scope: Scope, level: int, kind: str, more: str) -> None:
    method = scope["method"] if scope["method"] in _METHODS else "another method"
    route = route_at(scope) or "no route"
    log.log(level, "%s, %s %s%s", kind, method, route, more, extra={"kind": kind})


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
