"""`/calendar/{secret}.ics`: a feed as a calendar program fetches it; the address is the key, no cookie is."""

from datetime import datetime
from email.utils import format_datetime, parsedate_to_datetime
from http import HTTPStatus
from typing import TYPE_CHECKING

from fastapi import APIRouter, Request, Response
from starlette.routing import Match
from starlette.types import Scope

from coach.calendar import feeds
from coach.calendar.feed import Fetched, Named, fetched
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

# A program keeps what it fetched, asks each time whether that still holds, and passes it on to nobody.
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
    headers = request.headers
    since = _instant(headers.get("if-modified-since", ""))
    found = fetched(context, feed, headers.get("if-none-match", ""), since, _address(request))
    if found is None:
        return _none()
    feeds.seen(context, feed)
    named = {**KEPT, "ETag": f'"{found.digest}"', "Last-Modified": _written(found)}
    if not isinstance(found, Fetched):
        return Response(status_code=HTTPStatus.NOT_MODIFIED, headers=named)
    waits = request.app.state.fetches.waits(feed.id, context.clock())
    if waits:
        return Response(OFTEN, HTTPStatus.TOO_MANY_REQUESTS, {"Retry-After": str(waits)}, "text/plain")
    return Response(found.body, headers={**named, **FILE}, media_type=CALENDAR)


def _none() -> Response:
    return Response("There is no such calendar.\n", HTTPStatus.NOT_FOUND, media_type="text/plain")


def _address(request: Request) -> str:
    """Where the household's pages are, if that does not depend on who asks."""
    network = request.app.state.network
    return network.plain(network.hosts[0]) if network is not None and network.hosts else ""


def _written(found: Named) -> str:
    return format_datetime(found.changed.replace(microsecond=0), usegmt=True)


def _instant(text: str) -> datetime | None:
    """The instant a header names; none where that cannot be read, which is then as if it were not there."""
    try:
        found = parsedate_to_datetime(text)
    except (ValueError, IndexError, TypeError, OverflowError):
        return None
    return found if found.tzinfo else None


# What it is given and answers needs no reading by FastAPI, which would take as long as all the rest of a 304.
router.add_route("/calendar/{secret:path}.ics", fetch, methods=["GET"], include_in_schema=False)
