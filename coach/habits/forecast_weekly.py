"""One forecast a week is written down, so that there is a record of them that nobody chose from.

It is the one of the week's first day with a mark on which dates can be said, from the seventh day on. Who
looks at a page, and how often, changes nothing; nor does a page write anything
(docs/decisions/55-a-record-of-forecasts.md).
"""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from coach.ground.situation import looking, today_of
from coach.ground.weeks import week_of
from coach.ground.writing import Decision, to_plan, written
from coach.habits.forecast_record import FORECAST, value_of
from coach.habits.forecasting import forecast_in
from coach.progress.unlocking import left_to_settle

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence
    from datetime import date

    from coach.ground.ports import Context
    from coach.ground.situation import Situation

FIRST_DAY = 7
"""From this day on forecasts are written down; before it there is little to tell from. A choice."""
REMEMBERED = 10_000
"""Of so many households one process remembers that their day needs no further look."""


def write_down(context: Context, household: str) -> bool:
    """Write today's forecast down, if it is the week's first day with a mark on which dates can be said.

    Returns:
        Whether nothing is left to do on this day: it was written, or the week has one, or no dates can be
        said today. A day without a mark may still get one.

    Raises:
        NotStarted: The household has not chosen its first step.
    """
    with looking(context, household) as where:
        if not where.opening.marks:
            return False
        if not _is_wanted(where):
            return True
        steps, told = left_to_settle(where.state), forecast_in(where)
    found = told()
    if found.span.cannot_say is not None:
        return True
    value, made = value_of(found.span, steps), found.on

    def decide(where: Situation) -> Decision[None]:
        # Another process may have been first, or the day may have ended.
        is_still = where.today == made and _is_wanted(where)
        return to_plan([where.row(FORECAST, made.isoformat(), value)] if is_still else [])

    written(context, household, decide, lambda _, __: None)
    return True


def _is_wanted(where: Situation) -> bool:
    """Whether the week has no forecast yet, and the household has gone on for long enough."""
    week = week_of(where.today, where.starts)
    return where.standing.day >= FIRST_DAY and not where.plan.keys(
        FORECAST, week.isoformat(), where.today.isoformat()
    )


@dataclass(slots=True)
class WritingDown:
    """Writes forecasts down for households that have written something, and what one process knows of them.

    Attributes:
        seen: For each household the date whose forecast needs no further look, the latest last.
    """

    seen: OrderedDict[str, date] = field(default_factory=OrderedDict)

    def round(
        self, context: Context, households: Iterable[str], go_on: Callable[[], bool] = lambda: True
    ) -> Sequence[Exception]:
        """Write down what is due of some households.

        Args:
            context: Store, lessons and clock.
            households: Those that have written something since the last round.
            go_on: Asked before each whether there is still time.

        Returns:
            What went wrong; it harms no other household.
        """
        faults: list[Exception] = []
        for household in households:
            if not go_on():
                break
            try:
                self._one(context, household)
            except Exception as error:  # noqa: BLE001  told to whoever asked; the others go on
                faults.append(error)
        return faults

    def _one(self, context: Context, household: str) -> None:
        home = context.store.version(household)
        if home is None or self.seen.get(household) == (today := today_of(context, home)):
            return
        if write_down(context, household):
            self.seen[household] = today
            self.seen.move_to_end(household)
            while len(self.seen) > REMEMBERED:
                self.seen.popitem(last=False)
