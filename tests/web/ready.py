"""The application, without doing again for each house what comes out the same for all of them."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import TYPE_CHECKING, Any
from unittest.mock import patch

# FastAPI works out an application's routes on its first request, which takes 0.1 s here.
from fastapi.routing import _IncludedRouter

from coach import app as putting_together
from coach.coaching.library import FolderLibrary
from store.laid_out import lay_out

if TYPE_CHECKING:
    from pathlib import Path

    from fastapi import FastAPI

    from coach.settings import Settings

_included: list[_IncludedRouter] = []
_descriptions: dict[tuple[int, ...], dict[str, Any]] = {}


def ready_app(settings: Settings) -> FastAPI:
    """The application of these settings, as `create_app` gives it.

    Lessons that are not a test's own are read once, a new SQLite file is a copy of one that was migrated, and
    what FastAPI makes of the routers, and says of them, is kept from the first application that has them.
    """
    lay_out(settings.database)
    with patch.object(putting_together, "FolderLibrary", library):
        app = putting_together.create_app(settings)
    _share_routes(app)
    _share_description(app)
    return app


def library(folder: Path | None = None) -> FolderLibrary:
    """A library of a folder; that of the shipped lessons is one for all."""
    return _shipped() if folder is None else FolderLibrary(folder)


@cache
def _shipped() -> FolderLibrary:
    return FolderLibrary()


def _share_routes(app: FastAPI) -> None:
    """Let routers that other applications included in the same way be those."""
    routes = app.router.routes
    for at, route in enumerate(routes):
        if isinstance(route, _IncludedRouter):
            routes[at] = _kept(route)


def _share_description(app: FastAPI) -> None:
    """Let the description be that of another application with the same routers, if one was asked for it."""
    routers = tuple(id(route) for route in app.router.routes if isinstance(route, _IncludedRouter))
    describe = app.openapi

    def described() -> dict[str, Any]:
        if routers not in _descriptions:
            _descriptions[routers] = describe()
        return _descriptions[routers]

    # As FastAPI's own manual does it.
    app.openapi = described  # type: ignore[method-assign]


def _kept(route: _IncludedRouter) -> _IncludedRouter:
    found = next((one for one in _included if _is_same(one, route)), route)
    if found is route:
        _included.append(route)
    return found


def _is_same(one: _IncludedRouter, other: _IncludedRouter) -> bool:
    """Whether nothing but the application tells two of them apart."""
    first, second = (
        replace(each.include_context, dependency_overrides_provider=None) for each in (one, other)
    )
    return one.original_router is other.original_router and first == second
