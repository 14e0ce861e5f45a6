"""What the application's routes say of an address: which methods it takes, and which route it is."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fastapi.routing import iter_route_contexts
from starlette.routing import Match, Mount

if TYPE_CHECKING:
    from collections.abc import Iterator

    from fastapi.routing import RouteContext
    from starlette.types import Scope

READING = frozenset({"GET", "HEAD"})


def methods_at(scope: Scope) -> list[str]:
    """Every method that the address of a request takes, by whichever of its routes; HEAD wherever GET is."""
    found: set[str] = set()
    for route in _matching(scope):
        found |= READING if isinstance(route.original_route, Mount) else route.methods or set()
    return sorted(found | READING if "GET" in found else found)


def route_at(scope: Scope) -> str | None:
    """The address as its route is written, such as `/days/{date}`; none where there is none.

    What stands in the place of the braces may be a person's words, so this is all a log may tell.
    """
    routes = list(_matching(scope))
    taking = (route for route in routes if scope["method"] in (route.methods or READING))
    chosen = next(taking, routes[0] if routes else None)
    return None if chosen is None else chosen.path_format or chosen.path


def _matching(scope: Scope) -> Iterator[RouteContext]:
    asked = {"type": "http", "path": scope["path"], "root_path": "", "method": scope["method"]}
    for route in iter_route_contexts(scope["app"].routes):
        if route.matches(asked)[0] is not Match.NONE:
            yield route
