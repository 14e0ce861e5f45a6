"""How the use cases of the areas look at the plan, keep it changed, and keep the passes up to date."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import count
from typing import TYPE_CHECKING, TypeVar

from coach.areas.passes import area_now, keep_passes
from coach.areas.plans import Kept, kept, kept_row
from coach.areas.rules.replanning import redivided, still_sorting
from coach.areas.wording import NOT_SET_UP
from coach.errors import Unknown
from coach.ground.writing import Decision, to_plan, written

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from coach.areas.passes import AreaNow
    from coach.areas.rules.model import Divided
    from coach.areas.rules.passes import Opening
    from coach.areas.rules.plan import Plan
    from coach.ground.plan_rows import PlanRow
    from coach.ground.ports import Context
    from coach.ground.situation import Situation

R = TypeVar("R")


@dataclass(frozen=True, slots=True)
class Change:
    """What a change of the areas works with.

    Attributes:
        where: The household, inside the transaction.
        plan: The plan of the areas that holds.
        opening: This week as it opened.
        now: The same with what was done in it.
        new_id: Gives each new task its id.
    """

    where: Situation
    plan: Plan
    opening: Opening
    now: AreaNow
    new_id: Callable[[], str]


def set_up_now(where: Situation) -> AreaNow:
    """This week as `area_now` gives it, where it has to be there.

    Raises:
        Unknown: The areas are not set up.
    """
    now = area_now(where)
    if now is None:
        raise Unknown(NOT_SET_UP)
    return now


def task_ids(held: Kept) -> tuple[Callable[[], str], Callable[[], int]]:
    """What gives new tasks their ids, and what then tells the number of the next one."""
    numbers = count(held.next_task)

    def new_id() -> str:
        return f"t{next(numbers)}"

    return new_id, lambda: next(numbers)


def put(
    context: Context,
    household: str,
    decide: Callable[[Situation], Decision[None]],
    answer: Callable[[Situation], R],
) -> R:
    """Write what `decide` asks for, if anything, and keep the passes through the areas up to date.

    Args:
        context: Store, lessons and clock.
        household: Its key.
        decide: Given the situation, what to write; it raises what speaks against it.
        answer: Given the situation that follows, the answer.
    """

    def decided(where: Situation) -> Decision[None]:
        return replace(decide(where), then=keep_passes)

    return written(context, household, decided, lambda where, _: answer(where))


def no_rows(_: Situation) -> Sequence[PlanRow]:
    """Nothing else is written."""
    return ()


def change(
    context: Context,
    household: str,
    decide: Callable[[Change], tuple[Plan, str]],
    answer: Callable[[Situation], R],
    also: Callable[[Situation], Sequence[PlanRow]] = no_rows,
) -> R:
    """Keep the plan that `decide` makes of the one that holds, with what the change was.

    Nothing is kept if the plan is the same, but for the rows that are written beside it.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: The areas are not set up.
    """

    def rows(where: Situation) -> Decision[None]:
        return to_plan([*changed_rows(where, decide), *also(where)])

    return put(context, household, rows, answer)


def changed_rows(where: Situation, decide: Callable[[Change], tuple[Plan, str]]) -> list[PlanRow]:
    """The row that keeps the plan that `decide` makes; none if it is the same.

    Raises:
        Unknown: The areas are not set up.
    """
    held, now = kept(where), area_now(where)
    if held.plan is None or now is None:
        raise Unknown(NOT_SET_UP)
    new_id, last = task_ids(held)
    changed, said = decide(Change(where, held.plan, now.opening, now, new_id))
    same = replace(changed, since=held.plan.since) == held.plan
    return [] if same else [kept_row(where, Kept(changed, said, last()))]


def redivide(
    context: Context,
    household: str,
    decide: Callable[[Change], tuple[Divided, str]],
    answer: Callable[[Situation], R],
) -> R:
    """The same for a change of the areas themselves: the rotation goes on where it stands."""

    def changed(found: Change) -> tuple[Plan, str]:
        divided, said = decide(found)
        plan = still_sorting(found.plan, divided, found.now.passes.last_done)
        return redivided(plan, divided, found.where.today, found.opening.turn), said

    return change(context, household, changed, answer)
