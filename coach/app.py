"""The application: the one place that puts store, lessons, clock, guard and routers together."""

from __future__ import annotations

import os
import threading
from contextlib import asynccontextmanager, suppress
from dataclasses import replace
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from fastapi import FastAPI

from coach.coaching.kept_library import kept_library
from coach.coaching.library import FolderLibrary
from coach.errors import SteadingError
from coach.ground.ports import Context
from coach.limits import SQLITE_HOMES
from coach.settings import LOOPBACK, Settings, networks_of
from coach.store.copies import copies_of
from coach.store.opening import open_all
from coach.store.settled import databases_of
from coach.web import health, offline, problems, rescue
from coach.web.ahead import Served
from coach.web.api import routes as api
from coach.web.carrying import Post
from coach.web.changes import Changes, Telling
from coach.web.compression import Compression
from coach.web.door import Door
from coach.web.door_of_many import DoorOfMany
from coach.web.fetches import Fetches
from coach.web.files import Files
from coach.web.heads import Heads
from coach.web.held import Held
from coach.web.hosts import Hosts, host_name
from coach.web.line import Doors, Line
from coach.web.pages import routes as pages
from coach.web.proxies import Proxied
from coach.web.rounds import Rounds
from coach.web.security import Guard
from coach.web.sizes import Sizes
from coach.web.uploads import clear_folders, stay_where_told
from coach.web.wrote import Noting, Wrote

if TYPE_CHECKING:
    from collections.abc import AsyncIterator

INTERFACE = "1.0"
"""The version of the JSON interface, not of the package."""

DESCRIPTION = (
    "One small household habit at a time, unlocked by what has held. Dates are ISO 8601, errors are "
    "problem+json as RFC 9457 describes them, and every change is answered with what then stands."
)


def create_app(settings: Settings) -> FastAPI:
    """The application as the settings ask for it.

    Raises:
        StoreError: The database cannot be opened.
        FaultyFile: The lessons cannot be read.
        Unknown: They have no course of the name in the settings.
    """
    # What is counted for a page is small: on several cores NumPy would spend more on waiting than on that.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    stay_where_told()
    clear_folders()
    folder = FolderLibrary(settings.lessons)
    course = folder.chosen(settings.course)
    store = open_all(databases_of(settings))
    library = kept_library(folder, store, course, lambda: settings.today or datetime.now(UTC).date())
    # A copy of the database is one of every household in it: no page gives or takes one where there are many.
    copies = copies_of(settings.database, store) if settings.way != "hosted" else None
    context = Context(store, library, lambda: datetime.now(UTC), settings.today, course, copies)
    context = replace(context, most_homes=_most_homes(settings))
    held = Held()
    carrier = Post(settings, context)
    served = threading.Event() if settings.way == "hosted" else None
    wrote = Wrote()
    rounds = Rounds(context, carrier, wrote=wrote, served=served)

    @asynccontextmanager
    async def until_the_end(_: FastAPI) -> AsyncIterator[None]:
        rounds.begin()
        yield
        rounds.end()
        held.clear()
        if copies is not None and store.trouble():
            # What is held open is gone with this process, unless it is kept now.
            with suppress(SteadingError):
                copies.keep("end")
        store.close()

    app = FastAPI(
        title="Steading",
        description=DESCRIPTION,
        version=INTERFACE,
        # The pages that show the description load scripts from elsewhere; the description itself stays.
        docs_url=None,
        redoc_url=None,
        lifespan=until_the_end,
    )
    app.state.context = context
    # Whoever starts the service is told; a household could do nothing about it.
    app.state.gaps = store.gaps()
    app.state.held = held
    app.state.carrier = carrier
    # Whoever serves a home network says where phones find it (coach/web/network.py).
    app.state.network = None
    app.state.way = settings.way
    app.state.public_url = settings.public_url
    app.state.changes = Changes()
    app.state.fetches = Fetches()
    app.state.offline = settings.offline == "on"
    doors = Doors()

    def end_waits() -> None:
        store.ended.set()
        doors.here().close()

    app.state.end_waits = end_waits
    _furnish(app, doors)
    app.add_middleware(Noting, wrote=wrote)
    _guard(app, settings)
    if served is not None:
        app.add_middleware(Served, first=served)
    return app


def _most_homes(settings: Settings) -> int | None:
    """How many households there may be."""
    if settings.way != "hosted":
        return 1
    return SQLITE_HOMES if settings.database.startswith("sqlite") else None


def _hosts(settings: Settings) -> Hosts:
    """The names that are answered to: hosted the public one and those that are set, else loopback too."""
    public = host_name((settings.public_url or "").partition("://")[2])
    is_set = settings.way != "hosted" or "host" in settings.model_fields_set
    own = (settings.host,) if is_set else ()
    loopback = LOOPBACK if settings.way != "hosted" else ()
    names = (*loopback, *own, *settings.hosts, *filter(None, [public]))
    return Hosts(frozenset(name.lower() for name in names), at_home=settings.way == "home")


def _guard(app: FastAPI, settings: Settings) -> None:
    """The door before everything, the guard before the door."""
    hosts, scheme = _hosts(settings), (settings.public_url or "").partition("://")[0]
    if settings.way != "hosted":
        app.add_middleware(Door, at_home=hosts.at_home)
        app.add_middleware(Guard, hosts=hosts)
        return
    app.add_middleware(DoorOfMany)
    app.add_middleware(Guard, hosts=hosts, is_secure=scheme == "https")
    app.add_middleware(Proxied, scheme=scheme, proxies=networks_of(settings))


def _furnish(app: FastAPI, doors: Doors) -> None:
    """Routers, files, words for errors, and what is between them and the door."""
    app.include_router(api.router)
    app.include_router(health.router)
    app.include_router(offline.router)
    app.include_router(pages.router)
    app.include_router(rescue.router)
    app.mount("/static", Files(), name="static")
    problems.register(app)
    app.add_middleware(Line, doors=doors)
    app.add_middleware(Telling, changes=app.state.changes)
    app.add_middleware(Compression)
    app.add_middleware(Heads)
    app.add_middleware(Sizes)
