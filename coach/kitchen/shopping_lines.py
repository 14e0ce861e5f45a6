"""Lines written on the shopping list: one or several at once, changed, taken off, and cleared once ticked."""

from __future__ import annotations

from dataclasses import replace
from itertools import islice
from typing import TYPE_CHECKING

from coach.errors import NotEditable
from coach.ground.ids import free_ids
from coach.ground.writing import Decision, to_plan, written
from coach.kitchen.free_lines import KIND, kept, kept_line, row, view
from coach.kitchen.rules.shopping import FreeLine, checked_line, checked_lines, lines_in
from coach.kitchen.shopping import USUAL_DAYS, check_days, shopping_in

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Sequence

    from coach.ground.ports import Context
    from coach.ground.situation import Situation
    from coach.kitchen.answers import Shopping, WrittenLine

MOST = 500
"""Lines on the list, ticked or not."""


def line_in(where: Situation, line_id: str) -> WrittenLine:
    """One line, out of a situation.

    Raises:
        Unknown: There is no such line.
    """
    return view(kept_line(where, line_id))


def add(context: Context, household: str, pasted: str, days: int = USUAL_DAYS) -> Shopping:
    """Write lines on the list, as they were typed or pasted, one a line.

    Raises:
        NotStarted: The household has not chosen its first step.
        Malformed: There is nothing, too many at once, or one that cannot be kept; nothing was written.
        NotEditable: With them there would be too many.
    """
    return add_lines(context, household, lines_in(pasted), days)


def add_lines(context: Context, household: str, lines: Sequence[str], days: int = USUAL_DAYS) -> Shopping:
    """Write lines on the list, as a program names them; the errors are those of `add`."""
    wanted = checked_lines(lines)
    check_days(days)

    def decide(where: Situation) -> Decision[None]:
        taken = where.plan.keys(KIND)
        if len(taken) + len(wanted) > MOST:
            raise NotEditable(
                f"There are {len(taken)} lines on the list already, and {MOST} is the most. "
                "Clear what is ticked first; nothing was added."
            )
        ids = islice(free_ids(where.today, taken), len(wanted))
        added = (FreeLine(line_id, text, where.today) for line_id, text in zip(ids, wanted, strict=True))
        return to_plan([row(where, line) for line in added])

    return _decided(context, household, days, decide)


def change(context: Context, household: str, line_id: str, text: str, days: int = USUAL_DAYS) -> Shopping:
    """Change a line; with other words or another amount it is to be bought again.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: There is no such line.
        Malformed: It cannot be kept so.
    """
    plain = checked_line(text)
    check_days(days)

    def decide(where: Situation) -> Decision[None]:
        old = kept_line(where, line_id)
        return to_plan([] if old.text == plain else [row(where, replace(old, text=plain, tick=None))])

    return _decided(context, household, days, decide)


def remove(context: Context, household: str, line_id: str, days: int = USUAL_DAYS) -> Shopping:
    """Take a line off.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: There is no such line.
    """
    check_days(days)

    def decide(where: Situation) -> Decision[None]:
        kept_line(where, line_id)
        return to_plan([where.row(KIND, line_id, None)])

    return _decided(context, household, days, decide)


def clear(
    context: Context, household: str, shown: Collection[str] | None = None, days: int = USUAL_DAYS
) -> Shopping:
    """Take the ticked lines off; what is not ticked stays, and so do the lines of dinners.

    Args:
        context: Store, lessons and clock.
        household: Its key.
        shown: The ids of those that were looked at; none: all that are ticked.
        days: Those of the list that is answered.

    Raises:
        NotStarted: The household has not chosen its first step.
    """
    check_days(days)

    def decide(where: Situation) -> Decision[None]:
        ticked = [line.id for line in kept(where) if line.tick and (shown is None or line.id in shown)]
        return to_plan([where.row(KIND, line_id, None) for line_id in ticked])

    return _decided(context, household, days, decide)


def _decided(
    context: Context, household: str, days: int, decide: Callable[[Situation], Decision[None]]
) -> Shopping:
    return written(context, household, decide, lambda where, _: shopping_in(where, days))
