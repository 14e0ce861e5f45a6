"""How a service writes: look at the standing, append rows, answer with the day as it then stands."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.services.day_view import day_view
from coach.services.situation import notice_course, save_standings, situation

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from datetime import date

    from coach.progress.log import Row
    from coach.services.ports import Context
    from coach.services.results import Day
    from coach.services.situation import Situation


def changed(
    context: Context,
    household: str,
    decide: Callable[[Situation], Sequence[Row]],
    on: date | None = None,
    request_id: str | None = None,
) -> Situation:
    """Write the rows that `decide` asks for, if any, and give the situation that follows.

    Looking, deciding and writing happen in one transaction, so two phones at once cannot cross.

    Args:
        context: Store, lessons and clock.
        household: Its key.
        decide: Given the situation, the rows to append; it raises what speaks against them.
        on: The date to look at, or None for today.
        request_id: A request seen before writes nothing again.
    """
    with context.store.writing(household) as writing:
        where = situation(context, writing, on)
        notice_course(context, where.home, writing, where.today)
        rows = decide(where)
        if not rows or not writing.append(rows, context.clock(), request_id):
            return where
        where = situation(context, writing, on)
        save_standings(context, writing)
    return where


def changed_day(
    context: Context,
    household: str,
    decide: Callable[[Situation], Sequence[Row]],
    on: date | None = None,
    request_id: str | None = None,
) -> Day:
    """The same, answered with the day."""
    return day_view(context, changed(context, household, decide, on, request_id))
