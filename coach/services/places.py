"""The pages of the home plan a household sees: each opens with the step that introduces it, or early."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from coach.errors import Unknown
from coach.services.planning import Planning, planning, replanned
from coach.services.situation import today_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    from coach.progress.standing import StepStanding
    from coach.services.ports import Context, PlanRow

PAGES = ("week", "areas", "dinner", "desk")
STEPS = {
    "area-hour": "areas",
    "dinner-decided": "dinner",
    "desk-work": "desk",
    "put-off-job": "desk",
    "errand-run": "desk",
}
"""Which step of a course introduces which page; any step that does not come daily introduces the week."""


@dataclass(frozen=True, slots=True)
class Places:
    """Which pages of the home plan are open.

    Attributes:
        started: Whether the household has started.
        open: Those open, in the order they are shown in.
    """

    started: bool
    open: tuple[str, ...]


def places(context: Context, household: str) -> Places:
    """The pages open to a household; worked out anew only after something was written."""
    home = context.store.version(household)
    if home is None:
        return Places(started=False, open=())
    version = (home.version, today_of(context, home), context.library.digest())
    found: Places = context.memo.get(("places", household), version, lambda: _places(context, household))
    return found


def _places(context: Context, household: str) -> Places:
    with context.store.reading(household) as reading:
        plan = planning(context, reading)
        early = {key for key, _ in plan.values("opened")}
    open_now = early | set(_introduced(plan.where.standing.steps))
    return Places(started=True, open=tuple(page for page in PAGES if page in open_now))


def _introduced(steps: Mapping[str, StepStanding]) -> set[str]:
    come = [place.step for place in steps.values() if place.introduced_on is not None]
    pages = {STEPS[step.id] for step in come if step.id in STEPS}
    return pages | ({"week"} if any(not step.repeats.startswith("FREQ=DAILY") for step in come) else set())


def open_early(context: Context, household: str, page: str) -> Places:
    """Open a page before its step comes; open pages stay as they are.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: There is no such page.
    """
    if page not in PAGES:
        raise Unknown(f"There is no page “{page}” to open. There are: {', '.join(PAGES)}.")

    def decide(plan: Planning) -> list[PlanRow]:
        return [plan.row("opened", page, True)]  # noqa: FBT003  a value of the plan

    replanned(context, household, decide)
    return places(context, household)
