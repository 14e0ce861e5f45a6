"""`POST /api/feeds` and `POST /api/feeds/{feed}/secret`: a calendar's address, said this once."""

from fastapi import APIRouter, Response
from pydantic import BaseModel, TypeAdapter

from coach.calendar import feeds
from coach.calendar.answers import FeedView, NewFeed
from coach.web.api.answers import problems, written
from coach.web.api.calendar.bodies import FeedBody, FeedId
from coach.web.api.strictness import SecretRoute
from coach.web.deps import CallerDep, ContextDep

router = APIRouter(prefix="/feeds", tags=["calendar"], route_class=SecretRoute)


class MadeFeed(BaseModel):
    """A feed whose secret was just made.

    Attributes:
        path: Where a program fetches it from now on; said this once.
        feed: The feed.
    """

    path: str
    feed: FeedView


MADE = TypeAdapter(MadeFeed)


@router.post(
    "", status_code=201, response_model=MadeFeed, responses=problems("unpaired", "not-allowed", "not-started")
)
def make(context: ContextDep, caller: CallerDep, body: FeedBody) -> Response:
    """Make a feed; where it is fetched is in this answer and nowhere else."""
    return _said(feeds.make(context, caller, body.name, body.holds), 201)


@router.post(
    "/{feed}/secret", response_model=MadeFeed, responses=problems("unpaired", "unknown", "not-allowed")
)
def renew(context: ContextDep, caller: CallerDep, feed: FeedId) -> Response:
    """Give a feed another secret; at its old address there is nothing any more."""
    return _said(feeds.renew(context, caller, feed), 200)


def _said(made: NewFeed, status: int) -> Response:
    return written(MADE, MadeFeed(path=f"/calendar/{made.secret}.ics", feed=made.feed), status)
