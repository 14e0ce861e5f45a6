"""Only a few today: leaving the other lines of the day out, and bringing them back."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.ground.writing import Decision, written
from coach.habits.day import day_after
from coach.habits.few_lines import choice, remembered_rows, taken_in
from coach.progress.log import Row, What

if TYPE_CHECKING:
    from collections.abc import Collection

    from coach.ground.ports import Context
    from coach.ground.situation import Situation
    from coach.habits.answers import Day


def leave_few(context: Context, household: str, shown: Collection[str] = ()) -> Day:
    """Mark today's open lines excused, but for a few daily ones and those that can wait.

    Where there is nothing to leave out, nothing changes.

    Args:
        context: Store, lessons and clock.
        household: Its key.
        shown: The steps that stay, as a page has shown them; the three strongest if none are named.

    Raises:
        NotStarted: The household has not chosen its first step.
    """

    def decide(where: Situation) -> Decision[None]:
        chosen = choice(where, shown)
        if chosen is None:
            return Decision(None)
        left_out = [place.step.id for place in chosen.excused]
        return Decision(
            None,
            log=[Row(where.today, What.EXCUSED, step) for step in left_out],
            plan=remembered_rows(where, [*taken_in(where), *left_out]),
        )

    return written(context, household, decide, day_after)


def bring_back(context: Context, household: str) -> Day:
    """Take back the marks that leaving a few made today, and no others; without any nothing changes.

    Raises:
        NotStarted: The household has not chosen its first step.
    """

    def decide(where: Situation) -> Decision[None]:
        taken = taken_in(where)
        if not taken:
            return Decision(None)
        return Decision(
            None,
            log=[Row(where.today, What.CLEAR, step) for step in taken],
            plan=remembered_rows(where, ()),
        )

    return written(context, household, decide, day_after)
