"""A week's dinners: what is planned and has to leave the freezer, and all planned in one form or none."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from coach.errors import Malformed, Outdated, Unknown
from coach.ground.faults import FieldFault, Unfit
from coach.ground.plan_rows import Asked, dated_keys
from coach.ground.situation import looking
from coach.ground.weeks import WEEK, days_of, last_day, week_name, week_named, week_of
from coach.ground.writing import Decision, to_plan, written
from coach.kitchen import dinners, favourites
from coach.kitchen.answers import DinnerWeek, Move, Moves
from coach.kitchen.thawing import is_to_leave_by
from coach.progress.days import ONE_DAY

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

    from coach.ground.plan_rows import PlanRow
    from coach.ground.ports import Context
    from coach.ground.situation import Situation
    from coach.kitchen.answers import DinnerDay
    from coach.kitchen.dinners import Planned, TypedDinner


def week(context: Context, household: str, name: str | None = None) -> DinnerWeek:
    """A week's dinners, this week's if none is named.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: There is no week of that name.
    """
    with looking(context, household) as where:
        return week_in(where, name)


def week_in(where: Situation, name: str | None = None) -> DinnerWeek:
    """A week's dinners, out of a situation; the errors are those of `week`."""
    first = where.week if name is None else week_first(where, name)
    where.plan.fetch(needed(where, first))
    return DinnerWeek(
        week=week_name(first),
        first=first,
        last=last_day(first),
        current=first == where.week,
        earlier=week_name(first - WEEK),
        later=week_name(first + WEEK),
        days=tuple(dinners.day_in(where, on) for on in days_of(first)),
        moves=moves(where),
        favourites=favourites.kept(where),
    )


def needed(where: Situation, first: date | None = None) -> list[Asked]:
    """What of the plan the dinners from today on are in, or from a week's first day, and the favourites."""
    dates = dated_keys(min(where.today, first or where.today), dinners.last_date(where.today))
    return [Asked(dinners.KIND, *dates), Asked(favourites.KIND)]


def week_first(where: Situation, name: str) -> date:
    """The first day of the week of that name.

    Raises:
        Unknown: There is none, or it is at an end of the calendar.
    """
    try:
        first = week_named(name, where.starts)
        week_name(first - WEEK)
        last_day(first + WEEK)
    except (Malformed, OverflowError) as error:
        raise Unknown(f"There is no such week. {error}") from None
    return first


def moves(where: Situation) -> Moves:
    """What has to leave the freezer today and tomorrow, and what it is too late for.

    Today and tomorrow are those of the kitchen's clock, by which food thaws.
    """
    today = dinners.kitchen_of(where).now.date()
    found = [
        Move(on, planned.dish.name, item)
        for on, planned in upcoming(where)
        if is_to_leave_by(planned.dish, on, today + ONE_DAY)
        for item in dinners.dinner_view(where, on, planned).frozen
    ]
    due = [move for move in found if move.item.stage in {"refrigerator", "left"}]
    now = tuple(move for move in due if move.item.refrigerator_by == today)
    next_day = tuple(move for move in due if move.item.refrigerator_by == today + ONE_DAY)
    behind = tuple(move for move in found if move.item.stage in {"cold-water", "too-late"})
    return Moves(now, next_day, behind, dinners.caution(where) if now or next_day or behind else None)


def upcoming(where: Situation) -> list[tuple[date, Planned]]:
    """The dinners from today on."""
    return list(dinners.planned_between(where, where.today, dinners.last_date(where.today)))


@dataclass(frozen=True, slots=True)
class Entry:
    """One date of the form.

    Attributes:
        typed: What stands in its fields.
        seen: What the form showed when it was opened (`DinnerDay.seen`); a date that was left as it was is
            not written, so that two people can plan different days at once, and one that somebody else has
            changed meanwhile is asked. None: it does not say, and what stands there is replaced.
        favourite: The id of a dish that is kept, to be put on this date.
        keep: Whether the dish is to be kept as a favourite.
        take: Whether what is planned now stays, after both were shown.
    """

    typed: TypedDinner = field(default_factory=dinners.TypedDinner)
    seen: str | None = ""
    favourite: str = ""
    keep: bool = False
    take: bool = False

    @property
    def is_untouched(self) -> bool:
        """Whether the form left it as it was shown."""
        planned, faults = dinners.read_dinner(self.typed)
        seen = "" if self.typed.dish.is_blank else dinners.seen(planned)
        return (
            not (faults and not self.typed.dish.is_blank) and seen == (self.seen or "") and not self.is_asked
        )

    @property
    def is_asked(self) -> bool:
        """Whether it asks for more than its fields say."""
        return bool(self.favourite) or self.keep


class Replanned(Outdated):
    """Dates of the form were planned otherwise by somebody else meanwhile; nothing was written.

    Attributes:
        days: Those dates as they stand.
    """

    def __init__(self, days: Mapping[date, DinnerDay]) -> None:
        super().__init__("Somebody else has planned these dates meanwhile, so nothing was saved.")
        self.days = days


def plan_week(context: Context, household: str, entries: Mapping[date, Entry]) -> DinnerWeek:
    """Plan the dinners of several dates.

    Returns:
        The week of the first of them, or this week.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unfit: A dinner cannot be used, or is planned for a date that is over; nothing was written.
        Replanned: A date was changed by somebody else, too; nothing was written.
    """

    def decide(where: Situation) -> Decision[str]:
        form = _Form(where)
        for on, entry in sorted(entries.items()):
            form.take(on, entry)
        if form.faults:
            raise Unfit(form.faults)
        if form.replanned:
            raise Replanned({on: dinners.day_in(where, on) for on in form.replanned})
        return to_plan(form.rows, week_name(week_of(min(entries, default=where.today), where.starts)))

    return written(context, household, decide, week_in)


class _Form:
    """The form as it is read, date by date.

    Attributes:
        rows: What is to be written.
        faults: What speaks against it, each with its date before the field's name.
        replanned: The dates that somebody else has changed, too.
    """

    def __init__(self, where: Situation) -> None:
        self.rows: list[PlanRow] = []
        self.faults: list[FieldFault] = []
        self.replanned: list[date] = []
        self._plan = where
        self._known = favourites.known_names(where)

    def take(self, on: date, entry: Entry) -> None:
        """Read one date."""
        stands = dinners.seen(dinners.planned_on(self._plan, on))
        if entry.take and stands == entry.seen:
            return
        planned, faults = self._read(entry)
        same = not faults and not entry.favourite and dinners.seen(planned) == (entry.seen or "")
        if not same and (fault := dinners.date_fault(on, self._plan.today)):
            faults = (FieldFault("dish", fault), *faults)
        self.faults += [fault.within(on.isoformat()) for fault in faults]
        if faults:
            return
        if not same:
            if entry.seen is not None and stands not in {entry.seen, dinners.seen(planned)}:
                self.replanned.append(on)
            self._write(on, planned)
        if entry.keep and planned is not None:
            self._keep(planned)

    def _read(self, entry: Entry) -> tuple[Planned | None, tuple[FieldFault, ...]]:
        if not entry.favourite:
            return (None, ()) if entry.typed.dish.is_blank else dinners.read_dinner(entry.typed)
        typed, faults = dinners.read_dinner(entry.typed)
        if not entry.typed.dish.is_blank and (faults or dinners.seen(typed) != entry.seen):
            return None, (FieldFault("favourite", "Choose a favourite or type a dish, not both."),)
        try:
            dish = favourites.kept_dish(self._plan, entry.favourite)
        except Unknown as error:
            return None, (FieldFault("favourite", str(error)),)
        return dinners.just_planned(dish, typed.time), ()

    def _write(self, on: date, planned: Planned | None) -> None:
        before = dinners.planned_on(self._plan, on)
        after = planned and dinners.with_the_left(planned, before)
        if after != before:
            self.rows.append(dinners.dinner_row(self._plan, on, after))

    def _keep(self, planned: Planned) -> None:
        row = favourites.kept_row(self._plan, self._known, planned.dish)
        self._known[row.key] = planned.dish.name
        self.rows.append(row)
