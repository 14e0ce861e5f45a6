"""Tern Street, the demo household, with its whole home plan, in a house of the tests."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import TYPE_CHECKING

from coach.coaching.demo import furnish, tern_street
from coach.ground.pages import PAGES
from coach.household import data, places
from coach.progress.csvform import write_log

if TYPE_CHECKING:
    from web.house import House

NOW = datetime(2027, 1, 26, 10, 7, tzinfo=UTC)
"""A Tuesday morning."""


def move_in(house: House, now: datetime = NOW) -> None:
    """Let Tern Street live in a house, with every page of the home plan open."""
    house.now = now
    context = house.app.state.context
    course = context.library.course("three-weeks")
    data.load(context, "home", write_log(tern_street(course, house.today)))
    furnish(context, "home", house.today)
    for name in PAGES:
        places.open_early(context, "home", name)
