"""The application, without doing again for each house what comes out the same for all of them."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import TYPE_CHECKING, Any
from unittest.mock import patch

# FastAPI works out an application's routes on its first request, which takes 0.1 s here.
from fastapi.routing import _IncludedRouter

from coach import app as putting_together
from coach.coaching import library as reading
from coach.coaching.library import FolderLibrary
from coach.course import reader
from coach.progress.ramp import ramp_fault
from store.laid_out import lay_out

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from fastapi import FastAPI

    from coach.course.model import Course
    from coach.course.readings import Contents
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
    """A library of a folder; that of the shipped lessons is one for all.

    What the same bytes were read as before is not read out of them again.
    """
    if folder is None:
        return _shipped()
    with patch.dict(vars(reader), _READINGS), patch.object(reading, "ramp_fault", _ramp_fault):
        return FolderLibrary(folder)


def _once(read: Callable[[Contents], Any]) -> Callable[[Contents], Any]:
    """The same function of a folder's contents, which says again what it said of the same ones."""
    known: dict[object, Any] = {}

    def said(contents: Contents) -> object:
        about = (contents.folder, tuple(contents.files.items()), tuple(contents.beginnings.items()))
        if about not in known:
            known[about] = read(contents)
        return known[about]

    return said


_READINGS = {
    name: _once(getattr(reader, name))
    for name in ("course_reading", "catalogue_reading", "rooms_reading", "starters_reading", "texts_reading")
}
_ramps: dict[str, str | None] = {}


def _ramp_fault(course: Course) -> str | None:
    """The same of a course's ramp, which is worked out once for all courses that say the same."""
    if course.digest not in _ramps:
        _ramps[course.digest] = ramp_fault(course)
    return _ramps[course.digest]


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
