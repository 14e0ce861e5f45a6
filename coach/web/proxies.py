"""Where a request comes from behind a reverse proxy, and by which scheme its browser asks."""

from __future__ import annotations

import re
from ipaddress import ip_address
from typing import TYPE_CHECKING

from starlette.datastructures import Headers

if TYPE_CHECKING:
    from collections.abc import Iterable
    from ipaddress import IPv4Address, IPv4Network, IPv6Address, IPv6Network

    from starlette.types import ASGIApp, Receive, Scope, Send

    Networks = Iterable[IPv4Network | IPv6Network]

_FOR = re.compile(r"(?:^|;)\s*for\s*=\s*(\"(?:[^\"\\]|\\.)*\"|[^\s;,\"]+)", re.IGNORECASE)
_PORT = re.compile(r":\d+$")


class Proxied:
    """ASGI middleware before the guard: the client's own address, and the scheme of the public address.

    What a header says of an address is believed from a proxy that is named as one, and from nobody else; of
    a list, the last entry alone, which that proxy wrote. Where `X-Forwarded-For` and `Forwarded` say
    different things, one of them was written by somebody else, and neither is believed.

    Args:
        app: What is behind it.
        scheme: The scheme by which browsers ask, whatever the proxy speaks to us.
        proxies: Where proxies stand.
    """

    def __init__(self, app: ASGIApp, *, scheme: str, proxies: Networks) -> None:
        self.app = app
        self._scheme = scheme
        self._proxies = tuple(proxies)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass the request on as its client made it."""
        if scope["type"] == "http":
            scope["scheme"] = self._scheme
            peer = _read((scope.get("client") or ("",))[0])
            if peer is not None and any(peer in network for network in self._proxies):
                told = said_client(Headers(scope=scope))
                if told is not None:
                    scope["client"] = (str(told), 0)
        await self.app(scope, receive, send)


def said_client(headers: Headers) -> IPv4Address | IPv6Address | None:
    """The address that the last proxy says it asks for; None where it says none, or two."""
    said = {_last_of_list(headers), _last_forwarded(headers)} - {""}
    return _read(_bare(said.pop())) if len(said) == 1 else None


def _last_of_list(headers: Headers) -> str:
    """The last entry of X-Forwarded-For, in its plainest writing."""
    entries = ",".join(headers.getlist("x-forwarded-for")).split(",")
    return _plainest(entries[-1].strip())


def _last_forwarded(headers: Headers) -> str:
    """The `for` of the last element of Forwarded (RFC 7239 §4), in its plainest writing."""
    elements = _elements(",".join(headers.getlist("forwarded")))
    found = _FOR.search(elements[-1].strip()) if elements else None
    return _plainest(found[1].strip('"')) if found else ""


def _elements(text: str) -> list[str]:
    """The elements of a Forwarded header; a comma between quotes does not part them."""
    return [one for one in re.findall(r"(?:[^,\"]|\"(?:[^\"\\]|\\.)*\"?)+", text) if one.strip()]


def _plainest(entry: str) -> str:
    """An entry without port and brackets, so that two writings of one address are the same."""
    found = _read(_bare(entry))
    return entry if found is None else str(found)


def _bare(entry: str) -> str:
    """The address in an entry: IPv6 may stand in brackets, and a port behind."""
    if entry.startswith("["):
        return entry[1:].partition("]")[0]
    return _PORT.sub("", entry) if entry.count(":") == 1 else entry


def _read(text: str) -> IPv4Address | IPv6Address | None:
    try:
        found = ip_address(text)
    except ValueError:
        return None
    return getattr(found, "ipv4_mapped", None) or found
