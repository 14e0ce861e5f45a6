"""The places of the bar: at most five, in an order that stays, and no more than the household has reached."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from coach.errors import StoreError
from coach.services.places import places
from coach.web.deps import HOUSEHOLD

if TYPE_CHECKING:
    from fastapi import Request


class Place(NamedTuple):
    """A place of the bar: its name, its address, its word, and the pages that belong to it."""

    name: str
    address: str
    word: str
    pages: tuple[str, ...]


TODAY = Place("today", "/today", "Today", ("today",))
WEEK = Place("week", "/week", "Week", ("week", "jobs"))
HOME = Place("home", "/home", "Home", ("home", "areas", "dinner", "shopping", "desk"))
PATH = Place("path", "/path", "Path", ("path",))
AWAY = Place("away", "/away", "Away", ("away",))
MORE = Place("more", "/more", "More", ("more", "settings", "data"))
MOST = 5


def bar(request: Request) -> tuple[Place, ...]:
    """The places a household sees; while the store cannot be read, those that are always there."""
    try:
        found = places(request.app.state.context, HOUSEHOLD).open
    except StoreError:
        found = ()
    week = (WEEK,) if "week" in found else ()
    home = (HOME,) if set(found) & set(HOME.pages) else ()
    shown = (TODAY, *week, *home, PATH)
    # With the whole bar taken, being away is one tap further, behind More.
    away = (AWAY,) if len(shown) < MOST - 1 else ()
    return (*shown, *away, MORE)


def is_current(place: Place, page: str, shown: tuple[Place, ...]) -> bool:
    """Whether a page belongs to a place; what has no place of its own now belongs to the last."""
    if page in place.pages:
        return True
    return bool(page) and place is shown[-1] and not any(page in other.pages for other in shown)
