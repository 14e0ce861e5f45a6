"""What a browser or a program shows to be let in: a cookie, or a token in a header."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from starlette.datastructures import Headers
    from starlette.responses import Response
    from starlette.types import Scope

    from coach.ground.people import Kind

COOKIE = "steading"
SECURE_COOKIE = "__Host-steading"
"""The cookie's name over TLS: browsers take it from nobody but this very host (RFC 6265bis §4.1.3.2)."""

LONGEST = 200
"""Characters of what is shown; ours has 43."""

NOTHING_KEPT = '"cache", "cookies", "storage"'
"""What a browser lets go of at sign-out (Clear-Site-Data); it heeds it where the connection is encrypted."""


class Proof(NamedTuple):
    """What a request shows, and how: a browser its cookie, a program its token."""

    secret: str
    kind: Kind


def cookie_name(scheme: str) -> str:
    """The cookie's name for a scheme."""
    return SECURE_COOKIE if scheme == "https" else COOKIE


def proof(scope: Scope, headers: Headers) -> Proof | None:
    """What a request shows to be let in; a header counts before the cookie, and empty is nothing."""
    authorization = headers.get("authorization")
    if authorization is not None:
        kind, _, token = authorization.partition(" ")
        # Whoever names a token means that token: an unknown one does not fall back on a cookie.
        return Proof(token.strip()[:LONGEST] if kind.lower() == "bearer" else "", "program")
    name = cookie_name(scope.get("scheme", "http"))
    found = {value for line in headers.getlist("cookie") for value in _values(line, name)}
    if not found:
        return None
    # Whoever else is served under this host's name can add a cookie of ours, not see it (RFC 6265 §8.6):
    # of two that differ neither lets anybody in, so that nobody is put into another one's place.
    return Proof(found.pop()[:LONGEST] if len(found) == 1 else "", "browser")


def _values(line: str, name: str) -> list[str]:
    """What a Cookie header says of that name; what others put beside it may look as it likes."""
    pairs = (part.partition("=") for part in line.split(";"))
    return [value.strip() for key, _, value in pairs if key.strip() == name and value.strip()]


def keep_in_browser(response: Response, scheme: str, secret: str, seconds: int) -> None:
    """Let the browser keep what it is to show from now on."""
    response.set_cookie(
        cookie_name(scheme),
        secret,
        max_age=seconds,
        path="/",
        secure=scheme == "https",
        httponly=True,
        samesite="lax",
    )


def drop_in_browser(response: Response, scheme: str) -> None:
    """Let the browser forget it, and with it whatever else it keeps of this service."""
    response.delete_cookie(
        cookie_name(scheme), path="/", secure=scheme == "https", httponly=True, samesite="lax"
    )
    response.headers["Clear-Site-Data"] = NOTHING_KEPT
