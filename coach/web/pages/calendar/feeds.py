"""`/calendar`: the calendar feeds there are, made, changed, given another address and ended."""

from dataclasses import dataclass
from http import HTTPStatus
from typing import Annotated

from fastapi import APIRouter, Form, Request, Response
from pydantic import BaseModel, ConfigDict

from coach.calendar import feeds
from coach.calendar.answers import DAYS_AHEAD, DAYS_BACK, KINDS, USUAL, NewFeed
from coach.errors import SteadingError
from coach.ground.people import Caller
from coach.ground.ports import Context
from coach.ground.sending import FeedKind
from coach.household.places import places
from coach.web.deps import CallerDep, ContextDep
from coach.web.pages.people.devices import when_of
from coach.web.pages.people.picture import picture
from coach.web.pages.ways import see, words
from coach.web.problems import of_error
from coach.web.reach import base_of
from coach.web.rendering import page

router = APIRouter(prefix="/calendar")

HOLDS: dict[FeedKind, tuple[str, str]] = {
    "jobs": ("Weekday jobs", "on their days, with their lines"),
    "areas": ("Areas", "on the days on which you work in them"),
    "dinner": ("Dinners", "that are planned"),
    "dues": ("Dues", "with their times, without amounts; on days away too"),
    "routines": ("Routines", "one entry a day that counts the lines"),
}
"""What a feed can hold, in words, and what is shown of it."""

IN_SHORT = {
    "jobs": "jobs",
    "areas": "areas",
    "dinner": "dinners",
    "dues": "dues",
    "routines": "routines",
}


class FeedForm(BaseModel):
    """What a feed is called and what it holds."""

    model_config = ConfigDict(extra="forbid")

    name: str = ""
    holds: list[FeedKind] = []


@dataclass(frozen=True, slots=True)
class Told:
    """What the page says besides what there is.

    Attributes:
        made: A feed whose secret was just made; its address stands on the page this once.
        error: What speaks against what was asked for.
        typed: What was typed for a new feed that could not be made.
        said: What was done.
    """

    made: NewFeed | None = None
    error: SteadingError | None = None
    typed: FeedForm | None = None
    said: str | None = None


def feeds_page(request: Request, context: Context, caller: Caller, told: Told) -> Response:
    """The page."""
    problem = of_error(told.error) if told.error else None
    values = {
        "said": told.said,
        "trouble": problem.detail if problem else None,
        "way": request.app.state.way,
        "feeds": feeds.feeds(context, caller).feeds,
        "typed": told.typed or FeedForm(holds=list(USUAL)),
        "KINDS": KINDS,
        "HOLDS": HOLDS,
        "IN_SHORT": IN_SHORT,
        "AHEAD": DAYS_AHEAD,
        "BACK": DAYS_BACK,
        "when": when_of(context, caller),
        **_of_made(request, told.made),
    }
    found = places(context, caller.household)
    status = problem.status if problem else HTTPStatus.OK
    return page(request, "calendar/feeds.html", values, status, places=found.open)


def _of_made(request: Request, made: NewFeed | None) -> dict[str, object]:
    """A new address as it is copied, opened and scanned."""
    if made is None:
        return {"made": None}
    link = f"{base_of(request)}{path_of(made.secret)}"
    opened = f"webcal{link.removeprefix('https').removeprefix('http')}"
    # A phone could not come to a machine that answers itself alone.
    drawn = None if request.app.state.way == "alone" else picture(link)
    return {"made": made.feed, "link": link, "opened": opened, "picture": drawn}


def path_of(secret: str) -> str:
    """Where a feed is fetched."""
    return f"/calendar/{secret}.ics"


@router.get("")
def look(request: Request, context: ContextDep, caller: CallerDep, said: str | None = None) -> Response:
    """What there is."""
    return feeds_page(request, context, caller, Told(said=words(said)))


@router.post("")
def make(
    request: Request, context: ContextDep, caller: CallerDep, form: Annotated[FeedForm, Form()]
) -> Response:
    """A new feed, its address shown this once."""
    try:
        made = feeds.make(context, caller, form.name, form.holds)
    except SteadingError as error:
        return feeds_page(request, context, caller, Told(error=error, typed=form))
    return feeds_page(request, context, caller, Told(made))


@router.post("/{feed}/change")
def change(
    request: Request, context: ContextDep, caller: CallerDep, feed: str, form: Annotated[FeedForm, Form()]
) -> Response:
    """Another name, or other things in it; its address stays."""
    try:
        feeds.change(context, caller, feed, form.name, form.holds)
    except SteadingError as error:
        return feeds_page(request, context, caller, Told(error=error))
    return see("/calendar", "saved")


@router.post("/{feed}/secret")
def renew(request: Request, context: ContextDep, caller: CallerDep, feed: str) -> Response:
    """Another address; what fetched the old one finds nothing there any more."""
    try:
        made = feeds.renew(context, caller, feed)
    except SteadingError as error:
        return feeds_page(request, context, caller, Told(error=error))
    return feeds_page(request, context, caller, Told(made))


@router.post("/{feed}/end")
def end(request: Request, context: ContextDep, caller: CallerDep, feed: str) -> Response:
    """It is fetched no more."""
    try:
        feeds.end(context, caller, feed)
    except SteadingError as error:
        return feeds_page(request, context, caller, Told(error=error))
    return see("/calendar", "feed-ended")
