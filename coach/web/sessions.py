"""What a browser or a program shows to be let in: a cookie, or a token in a header."""

from __future__ import annotations

from http.cookies import CookieError, SimpleCookie
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from starlette.datastructures import Headers
    from starlette.responses import Response
    from starlette.types import Scope

COOKIE = "steading"
SECURE_COOKIE = "__Host-steading"
"""The cookie's name over TLS: browsers take it from nobody but this very host (RFC 6265bis §4.1.3.2)."""

LONGEST = 200
"""Characters of what is shown; ours has 43."""


def cookie_name(scheme: str) -> str:
    """The cookie's name for a scheme."""
    return SECURE_COOKIE if scheme == "https" else COOKIE


def shown_secret(scope: Scope, headers: Headers) -> str | None:
    """What a request shows to be let in; a header counts before the cookie, and empty is nothing."""
    authorization = headers.get("authorization")
    if authorization is not None:
        kind, _, token = authorization.partition(" ")
        # Whoever names a token means that token: an unknown one does not fall back on a cookie.
        return token.strip()[:LONGEST] if kind.lower() == "bearer" else ""
    name = cookie_name(scope.get("scheme", "http"))
    found = [value for line in headers.getlist("cookie") for value in _values(line, name)]
    return found[0][:LONGEST] if found else None


def _values(line: str, name: str) -> list[str]:
    try:
        jar = SimpleCookie(line)
    except CookieError:
        return []
    return [jar[name].value] if name in jar and jar[name].value else []


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
    """Let the browser forget it."""
    response.delete_cookie(
        cookie_name(scheme), path="/", secure=scheme == "https", httponly=True, samesite="lax"
    )
