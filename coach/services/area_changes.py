"""How the services of the areas write: look at the plan, keep it changed, and keep the passes up to date."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import count
from typing import TYPE_CHECKING

from coach.errors import Unknown
from coach.home.replanning import redivided
from coach.services.area_passes import keep_passes
from coach.services.area_plans import Kept, kept, kept_row
from coach.services.area_week import area_now
from coach.services.area_words import NOT_SET_UP
from coach.services.planning import Planning, replanned

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from coach.home.areas import Area
    from coach.home.passes import Opening
    from coach.home.plan import Plan
    from coach.services.ports import Context, PlanRow


@dataclass(frozen=True, slots=True)
class Change:
    """What a change of the areas works with.

    Attributes:
        planning: The household's plan, inside the transaction.
        plan: The plan of the areas that holds.
        opening: This week as it opened.
        new_id: Gives each new task its id.
    """

    planning: Planning
    plan: Plan
    opening: Opening
    new_id: Callable[[], str]


def task_ids(held: Kept) -> tuple[Callable[[], str], Callable[[], int]]:
    """What gives new tasks their ids, and what then tells the number of the next one."""
    numbers = count(held.next_task)

    def new_id() -> str:
        return f"t{next(numbers)}"

    return new_id, lambda: next(numbers)


def put(
    context: Context,
    household: str,
    decide: Callable[[Planning], Sequence[PlanRow]],
    request_id: str | None = None,
) -> None:
    """Write the rows that `decide` asks for, if any, and keep the passes through the areas up to date.

    Args:
        context: Store, lessons and clock.
        household: Its key.
        decide: Given the plan, the rows to append; it raises what speaks against them.
        request_id: A request seen before writes nothing again.
    """
    replanned(context, household, decide, request_id, then=keep_passes)


def no_rows(_: Planning) -> Sequence[PlanRow]:
    """Nothing else is written."""
    return ()


def change(
    context: Context,
    household: str,
    decide: Callable[[Change], tuple[Plan, str]],
    also: Callable[[Planning], Sequence[PlanRow]] = no_rows,
) -> None:
    """Keep the plan that `decide` makes of the one that holds, with what the change was.

    Nothing is kept if the plan is the same, but for the rows that are written beside it.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: The areas are not set up.
    """

    def rows(plan: Planning) -> list[PlanRow]:
        held, now = kept(plan), area_now(plan)
        if held.plan is None or now is None:
            raise Unknown(NOT_SET_UP)
        new_id, last = task_ids(held)
        changed, said = decide(Change(plan, held.plan, now.opening, new_id))
        same = replace(changed, since=held.plan.since) == held.plan
        return [*([] if same else [kept_row(plan, Kept(changed, said, last()))]), *also(plan)]

    put(context, household, rows)


def redivide(
    context: Context, household: str, decide: Callable[[Change], tuple[Sequence[Area], str]]
) -> None:
    """The same for a change of the areas themselves: the rotation goes on where it stands."""

    def changed(found: Change) -> tuple[Plan, str]:
        divided, said = decide(found)
        return redivided(found.plan, tuple(divided), found.planning.today, found.opening.turn), said

    change(context, household, changed)
