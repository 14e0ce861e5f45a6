"""`/api/feeds`: calendar feeds, listed, changed and ended."""

from fastapi import APIRouter, Response
from pydantic import TypeAdapter

from coach.calendar import feeds
from coach.calendar.answers import Feeds, FeedView
from coach.web.api.answers import problems, written
from coach.web.api.calendar.bodies import FeedChangeBody, FeedId
from coach.web.api.strictness import StrictRoute
from coach.web.deps import CallerDep, ContextDep

router = APIRouter(prefix="/feeds", tags=["calendar"], route_class=StrictRoute)

FEEDS = TypeAdapter(Feeds)
FEED = TypeAdapter(FeedView)


@router.get("", response_model=Feeds, responses=problems("unpaired"))
def look(context: ContextDep, caller: CallerDep) -> Response:
    """The feeds there are: for a keeper all of the household's, for a member their own."""
    return written(FEEDS, feeds.feeds(context, caller))


@router.patch("/{feed}", response_model=FeedView, responses=problems("unpaired", "unknown", "not-allowed"))
def change(context: ContextDep, caller: CallerDep, feed: FeedId, body: FeedChangeBody) -> Response:
    """Call one something else, or let it hold something else. Its address stays."""
    return written(FEED, feeds.change(context, caller, feed, body.name, body.holds))


@router.delete("/{feed}", response_model=Feeds, responses=problems("unpaired", "unknown", "not-allowed"))
def end(context: ContextDep, caller: CallerDep, feed: FeedId) -> Response:
    """End one: it is fetched no more. The answer is what there is still."""
    feeds.end(context, caller, feed)
    return written(FEEDS, feeds.feeds(context, caller))
