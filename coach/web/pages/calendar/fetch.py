"""`/calendar/{secret}.ics`: a feed as a calendar program fetches it; the address is the key, no cookie is."""

from http import HTTPStatus
from typing import TYPE_CHECKING

from fastapi import APIRouter, Request, Response
from starlette.routing import Match
from starlette.types import Scope

from coach.calendar import feeds
from coach.calendar.feed import Fetched, fetched
from coach.errors import TooOften
from coach.ground.sending import Feed
from coach.web.compression import CALENDAR

if TYPE_CHECKING:
    from coach.ground.ports import Context

PLACE = "/calendar/"


class _Feeds(APIRouter):
    """A router that is looked through only for its own addresses."""

    def matches(self, scope: Scope) -> tuple[Match, Scope]:
        """The route of an address, as in every router."""
        return super().matches(scope) if scope["path"].startswith(PLACE) else (Match.NONE, {})


router = _Feeds()

# A program keeps what it fetched, asks each time whether that still holds, and passes it on to nobody. It is
# named by its bytes alone: with the name of a feed, its kinds or a newer Steading they become others without
# an instant that is written down, so none is told (RFC 9110 §8.8.2).
KEPT = {"Cache-Control": "private, no-cache"}

OFTEN = "This calendar was fetched very often just now. Ask again a little later.\n"

FILE = {"Content-Disposition": 'inline; filename="steading.ics"'}


def fetch(request: Request) -> Response:
    """The calendar, or that it is as it was.

    A secret that is wrong, ended or no secret at all costs one look and gets one answer, so that it tells
    nothing.
    """
    context: Context = request.app.state.context
    feed = feeds.shown(context, request.path_params["secret"])
    if feed is None:
        return _none()
    known = request.headers.get("if-none-match", "")
    try:
        found = fetched(context, feed, known, _address(request), lambda: _count(request, feed))
    except TooOften as error:
        again = {"Retry-After": str(error.seconds)}
        return Response(str(error), HTTPStatus.TOO_MANY_REQUESTS, again, "text/plain")
    if found is None:
        return _none()
    feeds.seen(context, feed)
    named = {**KEPT, "ETag": f'"{found.digest}"'}
    if not isinstance(found, Fetched):
        return Response(status_code=HTTPStatus.NOT_MODIFIED, headers=named)
    return Response(found.body, headers={**named, **FILE}, media_type=CALENDAR)


def _count(request: Request, feed: Feed) -> None:
    """Count that a feed is sent whole.

    Raises:
        TooOften: That was so very often just now.
    """
    waits = request.app.state.fetches.waits(feed.id, request.app.state.context.clock())
    if waits:
        raise TooOften(OFTEN, waits)


def _none() -> Response:
    return Response("There is no such calendar.\n", HTTPStatus.NOT_FOUND, media_type="text/plain")


def _address(request: Request) -> str:
    """Where the household's pages are, if that does not depend on who asks."""
    if request.app.state.way == "hosted":
        return request.app.state.public_url or ""
    network = request.app.state.network
    return network.plain(network.hosts[0]) if network is not None and network.hosts else ""


# What it is given and answers needs no reading by FastAPI, which would take as long as all the rest of a 304.
router.add_route("/calendar/{secret:path}.ics", fetch, methods=["GET"], include_in_schema=False)
