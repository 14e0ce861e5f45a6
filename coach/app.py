"""The application: the one place that puts store, lessons, clock, guard and routers together."""

from __future__ import annotations

from contextlib import asynccontextmanager, suppress
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from fastapi import FastAPI

from coach.coaching.library import FolderLibrary
from coach.errors import SteadingError
from coach.ground.ports import Context
from coach.settings import LOOPBACK, Settings
from coach.store.copies import copies_of
from coach.store.opening import open_store
from coach.web import health, offline, problems, rescue
from coach.web.api import routes as api
from coach.web.carrying import Post
from coach.web.changes import Changes, Telling
from coach.web.compression import Compression
from coach.web.door import Door
from coach.web.fetches import Fetches
from coach.web.files import Files
from coach.web.heads import Heads
from coach.web.held import Held
from coach.web.hosts import Hosts, host_name
from coach.web.line import Doors, Line
from coach.web.pages import routes as pages
from coach.web.rounds import Rounds
from coach.web.security import Guard
from coach.web.sizes import Sizes
from coach.web.uploads import clear_folders, stay_where_told

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
    stay_where_told()
    clear_folders()
    library = FolderLibrary(settings.lessons)
    course = library.chosen(settings.course)
    store = open_store(settings.database)
    copies = copies_of(settings.database, store)
    context = Context(store, library, lambda: datetime.now(UTC), settings.today, course, copies)
    held = Held()
    carrier = Post(settings, context)
    rounds = Rounds(context, carrier)

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
    app.state.held = held
    app.state.carrier = carrier
    # Whoever serves a home network says where phones find it (coach/web/network.py).
    app.state.network = None
    app.state.way = settings.way
    app.state.changes = Changes()
    app.state.fetches = Fetches()
    app.state.offline = settings.offline == "on"
    doors = Doors()

    def end_waits() -> None:
        store.ended.set()
        doors.here().close()

    app.state.end_waits = end_waits
    at_home = settings.way == "home"
    public = (settings.public_url or "").partition("://")[2]
    hosts = (*LOOPBACK, settings.host, *settings.hosts, *filter(None, [host_name(public)]))
    named = frozenset(name.lower() for name in hosts)
    _furnish(app, Hosts(named, at_home=at_home), doors)
    return app


def _furnish(app: FastAPI, hosts: Hosts, doors: Doors) -> None:
    """Routers, files, words for errors, and the guard before all of them."""
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
    app.add_middleware(Door, at_home=hosts.at_home)
    app.add_middleware(Guard, hosts=hosts)
