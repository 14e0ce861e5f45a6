"""Pages to begin with, out of the lessons folder, with blanks for the household to fill in."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from coach.errors import Unknown
from coach.paper.handover_answers import StarterPage

if TYPE_CHECKING:
    from collections.abc import Iterable

    from coach.course.starters import Starter
    from coach.ground.ports import Library
    from coach.paper.handover_answers import ForName, HandoverPage


def starters(library: Library) -> tuple[StarterPage, ...]:
    """All of them, in their order."""
    return tuple(_view(one) for one in library.starters())


def starters_left(library: Library, kept: Iterable[HandoverPage]) -> tuple[StarterPage, ...]:
    """Those of which the household has no page of the same title yet."""
    titles = {page.title.casefold() for page in kept}
    return tuple(one for one in starters(library) if one.title.casefold() not in titles)


def starter(library: Library, key: str) -> StarterPage:
    """One of them.

    Raises:
        Unknown: There is none of that key.
    """
    found = next((one for one in starters(library) if one.starter == key), None)
    if found is None:
        raise Unknown(f"There is no page “{key[:80]}” to begin with. The handover shows all there are.")
    return found


def _view(one: Starter) -> StarterPage:
    whom = cast("tuple[ForName, ...]", one.whom)
    return StarterPage(one.id, one.title, one.markdown, whom)
