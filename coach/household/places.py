"""The pages of the home plan a household sees: each opens with the step that introduces it, or early."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.errors import NotStarted, Unknown
from coach.ground.pages import OPENED, PAGES, pages_of
from coach.ground.situation import Situation, remembered
from coach.ground.writing import Decision, to_plan, written
from coach.household.answers import Places

if TYPE_CHECKING:
    from collections.abc import Mapping

    from coach.ground.ports import Context
    from coach.progress.standing import StepStanding


def places(context: Context, household: str) -> Places:
    """The pages open to a household; worked out anew only after something was written."""
    try:
        return remembered(context, household, "places", places_in)
    except NotStarted:
        return Places(started=False, open=())


def places_in(where: Situation) -> Places:
    """The pages open to a household, out of a situation."""
    open_now = {*where.plan.keys(OPENED), *_introduced(where.standing.steps)}
    return Places(started=True, open=tuple(page for page in PAGES if page in open_now))


def _introduced(steps: Mapping[str, StepStanding]) -> set[str]:
    come = (place.step for place in steps.values() if place.introduced_on is not None)
    return {page for step in come for page in pages_of(step)}


def open_early(context: Context, household: str, page: str) -> Places:
    """Open a page before its step comes; open pages stay as they are.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: There is no such page.
    """
    if page not in PAGES:
        raise Unknown(f"There is no page “{page}” to open. There are: {', '.join(PAGES)}.")

    def decide(where: Situation) -> Decision[None]:
        is_open = page in where.plan.keys(OPENED)
        return to_plan([] if is_open else [where.row(OPENED, page, True)])  # noqa: FBT003  a value of the plan

    return written(context, household, decide, lambda where, _: places_in(where))
