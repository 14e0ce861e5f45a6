"""Lines that a member takes for today: said where several live, never asked for."""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeVar

from coach.errors import NotAllowed, NotEditable, Unknown
from coach.ground.wording import full_date
from coach.ground.writing import Decision, to_plan, written
from coach.habits.signatures import TAKEN, is_several, names_in, taken_in

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import date

    from coach.ground.ports import Context
    from coach.ground.situation import Situation

R = TypeVar("R")


def take(
    context: Context, household: str, on: date, step: str, answer: Callable[[Situation], R]
) -> tuple[R, str]:
    """Take a line of today for the one who asks; beside the answer, the name of whoever took it so far.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: There is no such step, or the date never happened.
        NotAllowed: It is not known who asks.
        NotEditable: Fewer than two live here, it is not today, or the line is marked or not on the list.
    """
    return _written(context, household, on, step, {"person": context.by}, answer)


def leave(
    context: Context, household: str, on: date, step: str, answer: Callable[[Situation], R]
) -> tuple[R, str]:
    """Let a line of today be nobody's again; the errors are those of `take`."""
    return _written(context, household, on, step, None, answer)


def _written(
    context: Context,
    household: str,
    on: date,
    step: str,
    value: dict[str, str] | None,
    answer: Callable[[Situation], R],
) -> tuple[R, str]:
    def decide(where: Situation) -> Decision[str]:
        _check(where, on, step)
        present = where.state.present(step)
        there = taken_in(where).get(present)
        before = names_in(where).get(there or "", "")
        if there == (value and value["person"]):
            return Decision(before)
        return to_plan([where.row(TAKEN, f"{on}/{present}", value)], before)

    return written(context, household, decide, lambda where, before: (answer(where), before))


def _check(where: Situation, on: date, step: str) -> None:
    if where.state.known(step) is None:
        raise Unknown(f"There is no step “{step}” on {full_date(on)}.")
    if on != where.today:
        raise NotEditable(f"Lines are taken for today, {full_date(where.today)}, alone.")
    if not is_several(where):
        raise NotEditable("Lines are taken where two or more live. Add the others on the page of people.")
    if not where.context.by:
        raise NotAllowed("It is not known who asks. Pair this browser or program, then take the line.")
    present = where.state.present(step)
    if present not in where.standing.checklist:
        raise NotEditable("This line is not on today's list.")
    if present in where.standing.marks:
        raise NotEditable("This line is marked already.")
