"""Tern Street, the demo household, with its whole home plan, in a house of the tests."""

from __future__ import annotations

from contextlib import contextmanager
from datetime import UTC, datetime
from typing import TYPE_CHECKING, TypeVar

from coach.coaching.demo import furnish, tern_street
from coach.ground.pages import PAGES
from coach.household import data, places
from coach.progress.csvform import write_log
from web.house import House

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

Kind = TypeVar("Kind", bound=House)

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


@contextmanager
def tern_streets(kind: type[Kind], folder: Path) -> Iterator[Kind]:
    """Tern Street's house of some kind, with its whole home plan, for tests that only look."""
    house = kind(folder)
    move_in(house)
    yield house
    house.close()
