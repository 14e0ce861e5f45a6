"""The weeks to come of a rotation by need, as they will be if each week's list is done (home rules)."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.areas.rules.passes import Book, close_week, done_in_week, open_week
from coach.errors import Malformed
from coach.ground.weeks import WEEK

if TYPE_CHECKING:
    from collections.abc import Iterator

    from coach.areas.rules.passes import Opening, Passes


def forecast(passes: Passes, book: Book, weeks: int) -> Iterator[Opening]:
    """So many weeks as they open, from the first that is not yet closed.

    What a week lists and is not marked yet counts as done on its last day, unless the week does not count.

    Args:
        passes: Where they stand before that week; they stay as they are.
        book: Plans, marks and absences.
        weeks: How many.

    Raises:
        Malformed: The calendar has not that many weeks.
    """
    try:
        passes.through + (weeks + 1) * WEEK
    except OverflowError:
        raise Malformed(f"The calendar has no {weeks} weeks from now on. Ask for fewer.") from None
    done = {day: frozenset(tasks) for day, tasks in book.done.items()}
    ahead, walking = Book(book.plans, done, book.away), passes.copy()
    for _ in range(weeks):
        opening = open_week(walking, ahead)
        yield opening
        if not opening.turn.waits:
            done[opening.last_day] = done.get(opening.last_day, frozenset()) | _left(opening, ahead)
        close_week(walking, opening, ahead)


def _left(opening: Opening, book: Book) -> frozenset[str]:
    """What is listed for a week and not done in it."""
    listed = {left.task.id for one in opening.areas for left in one.listed}
    return frozenset(listed - done_in_week(opening, book.done).keys())
