"""The dinners of a household: one date's, a week's, and what they need out of the freezer."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from coach.errors import Malformed, NotEditable, Unknown
from coach.home.weeks import WEEK, days_of, last_day, week_name, week_named
from coach.progress.days import hour_of
from coach.services import dinner_rows as rows
from coach.services.day_view import caution_view
from coach.services.dinner_results import DinnerDay, DinnerView, DinnerWeek, Move, Moves
from coach.services.faults import Unfit
from coach.services.favourites import kept, kept_dish
from coach.services.planning import planning, replanned
from coach.services.ports import dated_keys
from coach.services.thawing import CAUTION, Kitchen, frozen_views, is_to_leave_by
from coach.services.wall import ONE_DAY, wall_at, wall_now

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from datetime import date

    from coach.services.dinner_rows import Planned, TypedDinner
    from coach.services.planning import Planning
    from coach.services.ports import Context, PlanRow
    from coach.services.results import CautionView


def week(context: Context, household: str, name: str | None = None) -> DinnerWeek:
    """A week's dinners, this week's if none is named.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: There is no week of that name.
    """
    with context.store.reading(household) as reading:
        plan = planning(context, reading)
        first = plan.week if name is None else week_first(plan, name)
        days = tuple(day_of(context, plan, on) for on in days_of(first))
        return DinnerWeek(
            week=week_name(first),
            first=first,
            last=last_day(first),
            current=first == plan.week,
            earlier=week_name(first - WEEK),
            later=week_name(first + WEEK),
            days=days,
            moves=moves(context, plan),
            favourites=kept(plan),
        )


def week_first(plan: Planning, name: str) -> date:
    """The first day of the week of that name.

    Raises:
        Unknown: There is none, or it is at an end of the calendar.
    """
    try:
        first = week_named(name, plan.starts)
        week_name(first - WEEK)
        last_day(first + WEEK)
    except (Malformed, OverflowError) as error:
        raise Unknown(f"There is no such week. {error}") from None
    return first


def day(context: Context, household: str, on: date) -> DinnerDay:
    """A date with its dinner.

    Raises:
        NotStarted: The household has not chosen its first step.
    """
    with context.store.reading(household) as reading:
        return day_of(context, planning(context, reading), on)


def put(context: Context, household: str, on: date, typed: TypedDinner) -> DinnerDay:
    """Plan a date's dinner; one that was planned is replaced.

    Raises:
        NotStarted: The household has not chosen its first step.
        NotEditable: The date is over, or too far ahead.
        Unfit: The dinner cannot be used.
    """
    planned, faults = rows.read_dinner(typed)
    if faults:
        raise Unfit(faults)
    return _put(context, household, on, lambda _: planned)


def put_favourite(
    context: Context, household: str, on: date, favourite: str, time: str = rows.USUAL_TIME
) -> DinnerDay:
    """Put a dish that is kept on a date.

    Raises:
        NotStarted: The household has not chosen its first step.
        NotEditable: The date is over, or too far ahead.
        Unknown: There is no favourite of that id.
        Malformed: The time cannot be read.
    """
    at = hour_of(time.strip() or rows.USUAL_TIME)

    def dinner(plan: Planning) -> Planned:
        dish = kept_dish(plan, favourite)
        return rows.Planned(dish, at, (None,) * len(dish.frozen))

    return _put(context, household, on, dinner)


def remove(context: Context, household: str, on: date) -> DinnerDay:
    """Plan no dinner for a date; without one nothing changes.

    Raises:
        NotStarted: The household has not chosen its first step.
        NotEditable: The date is over, or too far ahead.
    """

    def decide(plan: Planning) -> list[PlanRow]:
        check_date(plan, on)
        found = planned_on(plan, on)
        return [plan.row(rows.KIND, on.isoformat(), None)] if found else []

    replanned(context, household, decide)
    return day(context, household, on)


def leave(context: Context, household: str, on: date, number: int, *, left: bool) -> DinnerDay:
    """Say that a frozen item has left the freezer, or that it has not.

    Args:
        context: Store, lessons and clock.
        household: Its key.
        on: The dinner's date.
        number: The item's place in the dish, from 1.
        left: Whether it has.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: There is no such item.
        NotEditable: The date is over, or it is too early: it would not keep until the dinner.
    """

    def decide(plan: Planning) -> list[PlanRow]:
        check_date(plan, on)
        found = planned_on(plan, on)
        if found is None or not 1 <= number <= len(found.left):
            raise Unknown(f"The dinner of {on} has no frozen item {number}.")
        view = _view(context, plan, on, found).frozen[number - 1]
        if left and view.stage == "early":
            raise NotEditable(f"It would not keep until then. {view.text}")
        if left is (view.left_on is not None):
            return []
        out = list(found.left)
        out[number - 1] = wall_now(context, plan.where.home).date() if left else None
        return [dinner_row(plan, on, replace(found, left=tuple(out)))]

    replanned(context, household, decide)
    return day(context, household, on)


def check_date(plan: Planning, on: date) -> None:
    """Refuse a date that no dinner can be planned for.

    Raises:
        NotEditable: It is over, or too far ahead.
    """
    if fault := rows.date_fault(on, plan.today):
        raise NotEditable(fault)


def planned_on(plan: Planning, on: date) -> Planned | None:
    """The dinner planned for a date."""
    value = plan.value(rows.KIND, on.isoformat())
    return None if value is None else rows.planned_of(value)


def planned_between(plan: Planning, first: date, last: date) -> Iterator[tuple[date, Planned]]:
    """The dinners planned for some dates, in their order."""
    for key, value in plan.values(rows.KIND, *dated_keys(first, last)):
        yield type(first).fromisoformat(key), rows.planned_of(value)


def dinner_row(plan: Planning, on: date, planned: Planned | None) -> PlanRow:
    """The row that plans a date's dinner, or none."""
    return plan.row(rows.KIND, on.isoformat(), planned and rows.planned_json(planned))


def day_of(context: Context, plan: Planning, on: date) -> DinnerDay:
    """A date of a plan with its dinner."""
    found = planned_on(plan, on)
    return DinnerDay(
        date=on,
        today=on == plan.today,
        editable=rows.date_fault(on, plan.today) is None,
        seen=rows.seen(found),
        dinner=_view(context, plan, on, found) if found else None,
        caution=caution(context) if found and found.dish.frozen else None,
    )


def moves(context: Context, plan: Planning) -> Moves:
    """What has to leave the freezer today and tomorrow, and what it is too late for.

    Today and tomorrow are those of the kitchen's clock, by which food thaws.
    """
    today = kitchen_of(context, plan).now.date()
    found = [
        Move(on, planned.dish.name, item)
        for on, planned in upcoming(plan)
        if is_to_leave_by(planned.dish, on, today + ONE_DAY)
        for item in _view(context, plan, on, planned).frozen
    ]
    due = [move for move in found if move.item.stage in {"refrigerator", "left"}]
    now = tuple(move for move in due if move.item.refrigerator_by == today)
    next_day = tuple(move for move in due if move.item.refrigerator_by == today + ONE_DAY)
    behind = tuple(move for move in found if move.item.stage in {"cold-water", "too-late"})
    return Moves(now, next_day, behind, caution(context) if now or next_day or behind else None)


def upcoming(plan: Planning) -> list[tuple[date, Planned]]:
    """The dinners from today on."""
    return list(planned_between(plan, plan.today, rows.last_date(plan.today)))


def kitchen_of(context: Context, plan: Planning) -> Kitchen:
    """The clock that the household's thawing goes by."""
    return Kitchen(wall_now(context, plan.where.home), plan.where.home.zone)


def caution(context: Context) -> CautionView | None:
    """The caution that stands beside thawing."""
    return caution_view(context.library, CAUTION)


def _put(context: Context, household: str, on: date, dinner: Callable[[Planning], Planned]) -> DinnerDay:
    def decide(plan: Planning) -> list[PlanRow]:
        check_date(plan, on)
        before = planned_on(plan, on)
        planned = rows.with_the_left(dinner(plan), before)
        return [] if planned == before else [dinner_row(plan, on, planned)]

    replanned(context, household, decide)
    return day(context, household, on)


def _view(context: Context, plan: Planning, on: date, planned: Planned) -> DinnerView:
    at = wall_at(plan.where.home, on, planned.time)
    return DinnerView(
        dish=planned.dish.name,
        time=f"{planned.time:%H:%M}",
        cooking=planned.dish.cooking,
        ingredients=planned.dish.ingredients,
        frozen=frozen_views(planned.dish, at, planned.left, kitchen_of(context, plan)),
    )
