"""The guard before every request: known host names, no changes on behalf of other sites, strict headers."""

from __future__ import annotations

from typing import TYPE_CHECKING
from urllib.parse import urlsplit

from starlette.datastructures import Headers
from starlette.requests import Request

from coach.web import problems
from coach.web.access import is_from_anywhere
from coach.web.headers import with_ours
from coach.web.hosts import host_name

if TYPE_CHECKING:
    from starlette.types import ASGIApp, Message, Receive, Scope, Send

    from coach.web.hosts import Hosts

SAFE_METHODS = frozenset({"GET", "HEAD", "OPTIONS"})
DEFAULT_PORTS = {"http": 80, "https": 443}


class Guard:
    """ASGI middleware that refuses requests which do not come from our own pages or a person's own program.

    Args:
        app: What is guarded.
        hosts: Host names answered to.
        is_secure: Whether browsers are told to ask by https alone.
    """

    def __init__(self, app: ASGIApp, hosts: Hosts, *, is_secure: bool = False) -> None:
        self.app = app
        self.hosts = hosts
        self._is_secure = is_secure

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass the request on, or answer with the reason why not."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return

        async def send_guarded(message: Message) -> None:
            if message["type"] == "http.response.start":
                message["headers"] = with_ours(message["headers"], is_secure=self._is_secure)
            await send(message)

        refusal = self._refusal(scope, Headers(scope=scope))
        answer = problems.answer(Request(scope), refusal) if refusal else self.app
        await answer(scope, receive, send_guarded)

    def _refusal(self, scope: Scope, headers: Headers) -> problems.Problem | None:
        host = only(headers, "host").lower()
        if not self.hosts.knows(host_name(host)):
            return problems.problem("host", "Ask under the address that the service printed when it started.")
        if scope["method"] in SAFE_METHODS or is_from_anywhere(scope["method"], scope["path"]):
            return None
        is_ours = not is_cross_site(headers, scope.get("scheme", "http"), host)
        return None if is_ours else problems.problem("cross-site")


def only(headers: Headers, name: str) -> str:
    """The one header of that name; empty if there is none, or another one that says something else."""
    found = headers.getlist(name)
    return found[0] if len(found) == 1 else ""


def is_cross_site(headers: Headers, scheme: str, host: str) -> bool:
    """Whether a browser says that the request was made by a page of another origin.

    Fetch Metadata where the browser sends it (a page on another port of this machine is `same-site`, and
    refused too), else the Origin header; a request with neither is no browser's.
    """
    if "sec-fetch-site" in headers:
        return only(headers, "sec-fetch-site") not in {"same-origin", "none"}
    if "origin" not in headers:
        return False
    origin = origin_of(only(headers, "origin"))
    return origin is None or origin != origin_of(f"{scheme}://{host}")


def origin_of(text: str) -> tuple[str, str, int | None] | None:
    """Scheme, host name and port of an origin (RFC 6454 §4); None for what is none, such as `null`."""
    try:
        parts = urlsplit(text)
        port = parts.port
    except ValueError:
        return None
    if parts.hostname is None or parts.path or parts.query or parts.fragment or "@" in parts.netloc:
        return None
    return parts.scheme, parts.hostname, port or DEFAULT_PORTS.get(parts.scheme)
