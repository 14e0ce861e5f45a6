"""A week's dinners planned in one form: all of them or, with a fault in any, none."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from coach.errors import Unknown
from coach.ground.faults import FieldFault, Unfit
from coach.ground.weeks import week_name, week_of
from coach.ground.writing import Decision, to_plan, written
from coach.kitchen import dinner_rows as rows
from coach.kitchen import favourites
from coach.kitchen.dinners import dinner_row, planned_on, week_in

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

    from coach.ground.ports import Context, PlanRow
    from coach.ground.situation import Situation
    from coach.kitchen.answers import DinnerWeek
    from coach.kitchen.dinner_rows import Planned, TypedDinner


@dataclass(frozen=True, slots=True)
class Entry:
    """One date of the form.

    Attributes:
        typed: What stands in its fields.
        seen: What the form showed when it was opened (`DinnerDay.seen`); a date that was left as it was is
            not written, so that two people can plan different days at once.
        favourite: The id of a dish that is kept, to be put on this date.
        keep: Whether the dish is to be kept as a favourite.
    """

    typed: TypedDinner = field(default_factory=rows.TypedDinner)
    seen: str = ""
    favourite: str = ""
    keep: bool = False


def plan_week(context: Context, household: str, entries: Mapping[date, Entry]) -> DinnerWeek:
    """Plan the dinners of several dates.

    Returns:
        The week of the first of them, or this week.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unfit: A dinner cannot be used, or is planned for a date that is over; nothing was written.
    """

    def decide(where: Situation) -> Decision[str]:
        form = _Form(where)
        for on, entry in sorted(entries.items()):
            form.take(on, entry)
        if form.faults:
            raise Unfit(form.faults)
        return to_plan(form.rows, week_name(week_of(min(entries, default=where.today), where.starts)))

    return written(context, household, decide, week_in)


class _Form:
    """The form as it is read, date by date.

    Attributes:
        rows: What is to be written.
        faults: What speaks against it, each with its date before the field's name.
    """

    def __init__(self, where: Situation) -> None:
        self.rows: list[PlanRow] = []
        self.faults: list[FieldFault] = []
        self._plan = where
        self._known = dict(where.values(favourites.KIND))

    def take(self, on: date, entry: Entry) -> None:
        """Read one date."""
        planned, faults = self._read(entry)
        same = not faults and not entry.favourite and rows.seen(planned) == entry.seen
        if not same and (fault := rows.date_fault(on, self._plan.today)):
            faults = (FieldFault("dish", fault), *faults)
        self.faults += [fault.within(on.isoformat()) for fault in faults]
        if faults:
            return
        if not same:
            self._write(on, planned)
        if entry.keep and planned is not None:
            self._keep(planned)

    def _read(self, entry: Entry) -> tuple[Planned | None, tuple[FieldFault, ...]]:
        if not entry.favourite:
            return (None, ()) if entry.typed.dish.is_blank else rows.read_dinner(entry.typed)
        typed, faults = rows.read_dinner(entry.typed)
        if not entry.typed.dish.is_blank and (faults or rows.seen(typed) != entry.seen):
            return None, (FieldFault("favourite", "Choose a favourite or type a dish, not both."),)
        try:
            dish = favourites.kept_dish(self._plan, entry.favourite)
        except Unknown as error:
            return None, (FieldFault("favourite", str(error)),)
        return rows.Planned(dish, typed.time, (None,) * len(dish.frozen)), ()

    def _write(self, on: date, planned: Planned | None) -> None:
        before = planned_on(self._plan, on)
        after = planned and rows.with_the_left(planned, before)
        if after != before:
            self.rows.append(dinner_row(self._plan, on, after))

    def _keep(self, planned: Planned) -> None:
        row = favourites.kept_row(self._plan, self._known, planned.dish)
        self._known[row.key] = {"dish": planned.dish.name}
        self.rows.append(row)
