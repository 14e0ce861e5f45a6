"""The home plan as services meet it: what holds, the week it is, the days away, and how a service writes it.

The plan is kept as rows of (kind, key, value as JSON); the last row of a key holds. The kinds and their keys:

    areas       ""                   the plan of the areas from the row's date on (`coach.home.plan.Plan`)
    done        DATE/TASK            an area task done on that date
    available   WEEKDAY (MO..SU)     minutes available on it
    area-days   ""                   the weekdays on which area work is done
    job         STEP                 a weekday job's changed lines and its end
    tick        DATE/STEP/LINE       a line ticked or left, at the occurrence that opened on that date
    timer       DATE/STEP            the instant a job's timer was started
    moved       ""                   the rules of the jobs moved last, before and after, to undo it
    dinner      DATE                 that date's dinner
    favourite   ID                   a dish kept
    at-home     ITEM                 an ingredient ticked as at home or in the basket, for which dinners
    due         ID                   a due; due-done DATE/ID: that date of it settled
    todo        ID                   a to-do, put off or an errand too; todo-done DATE/ID: done on that date
    picked      ""                   the put-off job picked for its next day
    opened      PAGE                 a page opened before the step that introduces it came
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from coach.home.weeks import WeekStart, week_of
from coach.progress.days import exists
from coach.progress.decisions import last_day
from coach.progress.log import What
from coach.progress.opening import Phase
from coach.progress.state import Pause
from coach.services.ports import PlanRow
from coach.services.situation import Situation, notice_course, situation

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence
    from datetime import date

    from coach.services.ports import Context, Reading, Writing


@dataclass(frozen=True, slots=True)
class Planning:
    """What a service of the home plan works with, inside one transaction.

    Attributes:
        reading: The open transaction.
        where: Where the household stands on the date asked for.
        planned: The pauses that run or are planned, in the order in which they take effect.
    """

    reading: Reading
    where: Situation
    planned: tuple[Pause, ...]

    @property
    def today(self) -> date:
        """The household's current date."""
        return self.where.today

    @property
    def starts(self) -> WeekStart:
        """The weekday on which the household's weeks begin."""
        return WeekStart(self.where.home.week_starts)

    @property
    def week(self) -> date:
        """The first day of the current week."""
        return week_of(self.today, self.starts)

    def away(self, day: date) -> bool:
        """Whether the household was paused or lapsed on a day, or is going to be; or it never happens."""
        standing = self.where.standing
        if not exists(day, self.where.home.zone):
            return True
        if day == standing.on:
            return standing.phase in {Phase.PAUSED, Phase.LAPSED}
        if day < standing.on:
            return any(first <= day <= last for first, last in standing.away)
        return any(pause.covers(day) for pause in self.planned)

    def values(self, what: str, first: str | None = None, last: str | None = None) -> list[tuple[str, Any]]:
        """What holds now of one kind: keys with their values read from JSON."""
        return [(key, json.loads(value)) for key, value in self.reading.plan(what, first, last)]

    def value(self, what: str, key: str = "") -> Any:  # noqa: ANN401  JSON, read by whoever knows the kind
        """What holds now for one key; None if nothing does."""
        found = self.reading.plan(what, key, key)
        return json.loads(found[0][1]) if found else None

    def row(self, what: str, key: str, value: object) -> PlanRow:
        """A row written today; the value None takes it away."""
        text = "" if value is None else json.dumps(value, ensure_ascii=False, separators=(",", ":"))
        return PlanRow(self.today, what, key, text)


def planning(context: Context, reading: Reading, on: date | None = None) -> Planning:
    """The plan of a household, with where it stands on a date (today if none is named).

    Raises:
        NotStarted: The household has not chosen its first step.
        OutOfRange: The date lies before the start or in the future.
        Unknown: The date never happened.
    """
    where = situation(context, reading, on)
    return Planning(reading, where, tuple(_pauses(where)))


def _pauses(where: Situation) -> Iterator[Pause]:
    """The pause in force and those of later dates, of which a `resume` takes back the one of its own date."""
    if where.standing.pause is not None:
        yield where.standing.pause
    planned: dict[date, Pause | None] = {}
    for row in where.book.decisions:
        if row.date > where.standing.on and row.what is What.PAUSE:
            planned[row.date] = Pause(row.date, last_day(row))
        elif row.date > where.standing.on and row.what is What.RESUME:
            planned[row.date] = None
    yield from (pause for pause in planned.values() if pause is not None)


def replanned(
    context: Context,
    household: str,
    decide: Callable[[Planning], Sequence[PlanRow]],
    request_id: str | None = None,
    then: Callable[[Writing, Planning], None] | None = None,
) -> None:
    """Write the rows of the plan that `decide` asks for, if any.

    Looking, deciding and writing happen in one transaction, so two phones at once cannot cross.

    Args:
        context: Store, lessons and clock.
        household: Its key.
        decide: Given the plan, the rows to append; it raises what speaks against them.
        request_id: A request seen before writes nothing again.
        then: Done in the same transaction once rows were written, with the plan as it was before them.
    """
    with context.store.writing(household) as writing:
        plan = planning(context, writing)
        notice_course(context, plan.where.home, writing, plan.today)
        rows = decide(plan)
        if rows and writing.put_plan(rows, context.clock(), request_id) and then is not None:
            then(writing, plan)
