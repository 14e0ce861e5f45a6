"""The places of the bar: at most five, in an order that stays, and no more than the household has reached."""

from __future__ import annotations

import logging
from typing import TYPE_CHECKING, NamedTuple

from coach.errors import SteadingError
from coach.household.places import places
from coach.web.events import raised

if TYPE_CHECKING:
    from collections.abc import Iterable

    from coach.ground.ports import Context


log = logging.getLogger(__name__)


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

GROUPS = Place("group", "/groups", "Groups", ("groups",))
KEYS = Place("key", "/passkeys", "Passkeys", ("passkeys",))
DEVICES = Place("devices", "/devices", "Devices", ("devices",))
OF_GROUP = (
    ("group", "", "Group", ("group", "households", "invitation")),
    ("questions", "/questions", "Questions", ("questions",)),
    ("notes", "/notes", "Notes", ("notes",)),
    ("stops", "/stops", "Stops", ("stops", "weeks", "compare")),
    ("course", "/course", "Course", ("course", "changes", "preview")),
)
"""The places of a group: name, what its address ends with, word, and the pages that belong to each."""


def bar(places: Iterable[str]) -> tuple[Place, ...]:
    """The places a household sees: of the home plan those that are open, and those that are always there."""
    found = set(places)
    week = (WEEK,) if "week" in found else ()
    home = (HOME,) if found & set(HOME.pages) else ()
    shown = (TODAY, *week, *home, PATH)
    # With the whole bar taken, being away is one tap further, behind More.
    away = (AWAY,) if len(shown) < MOST - 1 else ()
    return (*shown, *away, MORE)


def coach_bar(group: str | None) -> tuple[Place, ...]:
    """The places a coach sees: those of a group, or the list of groups and what lets a coach in.

    Args:
        group: The group a page is about, by its id; none: it is about no group.
    """
    if group is None:
        return (GROUPS, KEYS, DEVICES)
    return tuple(Place(name, f"/groups/{group}{end}", word, pages) for name, end, word, pages in OF_GROUP)


def open_places(context: Context, household: str) -> tuple[str, ...]:
    """The open pages, for an answer that shows nothing else of the household; none if they cannot be told.

    The bar is never what keeps an answer from being given, least of all one about something else amiss.
    """
    try:
        return places(context, household).open
    except SteadingError:
        return ()
    except Exception as error:  # noqa: BLE001  logged, and the answer is about something else
        log.error("The open pages cannot be told: %s", raised(error))  # noqa: TRY400  its words stay out of the log
        return ()


def is_current(place: Place, page: str, shown: tuple[Place, ...]) -> bool:
    """Whether a page belongs to a place; what has no place of its own now belongs to the last."""
    if page in place.pages:
        return True
    return bool(page) and place is shown[-1] and not any(page in other.pages for other in shown)
