"""The passes through the areas' lists, folded from the latest fold that was kept, and kept anew now and then.

A fold is kept up to a week that no mark or plan can change any more: marks go back seven days, and a plan
holds from the week it is made in. So opening this week's area folds two or three weeks, however long the
history is.
"""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from coach.areas.plans import plans_after
from coach.areas.rules.passes import Book, Passes, begin, close_week, open_week, passes_from_json, passes_json
from coach.ground.past import BEFORE_EDITS
from coach.ground.ports import SavedStanding, dated_keys
from coach.ground.weeks import WEEK
from coach.progress.days import ONE_DAY

if TYPE_CHECKING:
    from collections.abc import Iterable

    from coach.ground.ports import Writing
    from coach.ground.situation import Situation

NAME = "passes"
DIGEST = "passes 1"
"""Names how a fold is worked out: a change of the rules of passes gives it another number."""

DONE = "done"


def done_marks(where: Situation, first: date, last: date) -> dict[date, frozenset[str]]:
    """The ids of the tasks marked done on each date, between two dates."""
    return _by_date(where.plan.keys(DONE, *dated_keys(first, last)))


def _by_date(keys: Iterable[str]) -> dict[date, frozenset[str]]:
    found: dict[str, set[str]] = {}
    for key in keys:
        day, _, task = key.partition("/")
        found.setdefault(day, set()).add(task)
    return {date.fromisoformat(day): frozenset(tasks) for day, tasks in found.items()}


def passes_before(where: Situation, day: date, last: date) -> tuple[Passes, Book] | None:
    """The latest passes kept from before a date, and the book of all that came after them.

    Args:
        where: The household.
        day: The passes have closed no week that holds it.
        last: The book holds the marks up to this date.

    Returns:
        None where the areas are not set up.
    """
    saved = where.plan.saved(NAME, day, DIGEST)
    plans = plans_after(where, saved.through if saved else None)
    if not plans:
        return None
    first = saved.through + ONE_DAY if saved else date.min
    book = Book(plans, done_marks(where, first, last), where.away)
    return (passes_from_json(saved.state) if saved else begin(book)), book


def keep_passes(writing: Writing, where: Situation) -> None:
    """Keep the passes of the last week that nothing can change any more, unless they are kept already."""
    through = where.today - BEFORE_EDITS
    saved = writing.saved_plan(NAME, through + ONE_DAY, DIGEST)
    found = (
        None if saved and through - saved.through < WEEK else passes_before(where, through + ONE_DAY, through)
    )
    if found is None:
        return
    passes, book = found
    begun = passes.through
    while (opening := open_week(passes, book)).last_day <= through:
        close_week(passes, opening, book)
    if passes.through > begun:
        writing.save_plan(NAME, SavedStanding(passes.through, DIGEST, passes_json(passes)))
