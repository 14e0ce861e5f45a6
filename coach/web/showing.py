"""Pages out of one reading: what they show and the places of the bar come from the same transaction."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from fastapi.responses import HTMLResponse

from coach.coaching.below import Lesson, below
from coach.ground.situation import looking, stamp
from coach.household.places import places_in
from coach.web.compression import ENCODED, is_wanted, packed
from coach.web.rendering import page

if TYPE_CHECKING:
    from collections.abc import Callable, Hashable, Mapping

    from fastapi import Request

    from coach.ground.ports import Context
    from coach.ground.situation import Situation

View = tuple[str, "Mapping[str, object]"]
"""A template and its values."""


@dataclass(frozen=True, slots=True)
class Later:
    """Values of a page that take a while: they are worked out once the household's transaction has ended."""

    work: Callable[[], Mapping[str, object]]


class Kept:
    """A page as it was rendered, and compressed as soon as somebody wants it so.

    Attributes:
        plain: Its bytes.
    """

    def __init__(self, plain: bytes) -> None:
        self.plain = plain

    @cached_property
    def packed(self) -> bytes:
        """The same bytes compressed, once."""
        return packed(self.plain)

    def answer(self, request: Request) -> HTMLResponse:
        """The page for whoever asks."""
        return (
            HTMLResponse(self.packed, headers=ENCODED)
            if is_wanted(request.headers)
            else HTMLResponse(self.plain)
        )


def show(
    request: Request, context: Context, household: str, view: Callable[[Situation], View], status: int = 200
) -> HTMLResponse:
    """A page of a household that has started.

    Args:
        request: What is answered.
        context: Store, lessons and clock.
        household: Its key.
        view: Given the situation, the template and its values; a `Lesson` among these, as `coached`, becomes
            what stands below it, and what a `Later`, as `later`, comes to is added to them.
        status: The answer's status.

    Raises:
        NotStarted: The household has not chosen its first step.
    """
    with looking(context, household) as where:
        name, values = view(where)
        places, findings = places_in(where).open, where.findings
    lesson = values.get("coached")
    if isinstance(lesson, Lesson):
        # Read once the household's own transaction has ended, so that no request holds two connections.
        values = {**values, "coached": below(context, lesson)}
    later = values.get("later")
    if isinstance(later, Later):
        values = {**values, **later.work()}
    return page(request, name, {**values, "findings": findings}, status, places=places)


def show_kept(
    request: Request,
    context: Context,
    household: str,
    key: Hashable,
    view: Callable[[Situation], View],
    depends_on: Callable[[Context, str], Hashable] = stamp,
) -> HTMLResponse:
    """The same out of memory, or rendered now and then kept, for as long as nothing it shows has changed.

    Args:
        request: What is answered.
        context: Store, lessons and clock.
        household: Its key.
        key: Names the page.
        view: Given the situation, the template and its values.
        depends_on: What the page depends on; another value, and it is rendered anew.
    """

    def rendered() -> Kept:
        return Kept(bytes(show(request, context, household, view).body))

    if context.store.trouble() is not None:
        # What is wrong with the store stands on every page while it lasts, and on none that is kept.
        return show(request, context, household, view)
    # What is offered to somebody with a name alone is the one thing about the caller that a kept page shows.
    named = bool(context.by)
    kept = context.memo.get(("page", key, household, named), depends_on(context, household), rendered)
    return kept.answer(request)
