"""The dinners of a household: one date's, a week's, and what they need out of the freezer."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from coach.errors import Malformed, NotEditable, Unknown
from coach.ground.cautions import caution_view
from coach.ground.clock import wall_at, wall_now
from coach.ground.faults import Unfit
from coach.ground.ports import Asked, dated_keys
from coach.ground.situation import looking
from coach.ground.weeks import WEEK, days_of, last_day, week_name, week_named
from coach.ground.writing import Decision, to_plan, written
from coach.kitchen import dinner_rows as rows
from coach.kitchen.answers import DinnerDay, DinnerView, DinnerWeek, Move, Moves
from coach.kitchen.favourites import KIND as FAVOURITE
from coach.kitchen.favourites import kept, kept_dish
from coach.kitchen.thawing import CAUTION, Kitchen, frozen_views, is_to_leave_by
from coach.progress.days import ONE_DAY, hour_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from datetime import date

    from coach.ground.cautions import CautionView
    from coach.ground.ports import Context, PlanRow
    from coach.ground.situation import Situation
    from coach.kitchen.dinner_rows import Planned, TypedDinner


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
        days=tuple(day_in(where, on) for on in days_of(first)),
        moves=moves(where),
        favourites=kept(where),
    )


def needed(where: Situation, first: date | None = None) -> list[Asked]:
    """What of the plan the dinners from today on are in, or from a week's first day, and the favourites."""
    last = rows.last_date(where.today)
    return [Asked(rows.KIND, *dated_keys(min(where.today, first or where.today), last)), Asked(FAVOURITE)]


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


def day(context: Context, household: str, on: date) -> DinnerDay:
    """A date with its dinner.

    Raises:
        NotStarted: The household has not chosen its first step.
    """
    with looking(context, household) as where:
        return day_in(where, on)


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

    def dinner(where: Situation) -> Planned:
        dish = kept_dish(where, favourite)
        return rows.Planned(dish, at, (None,) * len(dish.frozen))

    return _put(context, household, on, dinner)


def remove(context: Context, household: str, on: date) -> DinnerDay:
    """Plan no dinner for a date; without one nothing changes.

    Raises:
        NotStarted: The household has not chosen its first step.
        NotEditable: The date is over, or too far ahead.
    """

    def decide(where: Situation) -> Decision[None]:
        check_date(where, on)
        found = planned_on(where, on)
        return to_plan([where.row(rows.KIND, on.isoformat(), None)] if found else [])

    return written(context, household, decide, lambda where, _: day_in(where, on))


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

    def decide(where: Situation) -> Decision[None]:
        check_date(where, on)
        found = planned_on(where, on)
        if found is None or not 1 <= number <= len(found.left):
            raise Unknown(f"The dinner of {on} has no frozen item {number}.")
        view = _view(where, on, found).frozen[number - 1]
        if left and view.stage == "early":
            raise NotEditable(f"It would not keep until then. {view.text}")
        if left is (view.left_on is not None):
            return to_plan([])
        out = list(found.left)
        out[number - 1] = wall_now(where.context, where.home).date() if left else None
        return to_plan([dinner_row(where, on, replace(found, left=tuple(out)))])

    return written(context, household, decide, lambda where, _: day_in(where, on))


def check_date(where: Situation, on: date) -> None:
    """Refuse a date that no dinner can be planned for.

    Raises:
        NotEditable: It is over, or too far ahead.
    """
    if fault := rows.date_fault(on, where.today):
        raise NotEditable(fault)


def planned_on(where: Situation, on: date) -> Planned | None:
    """The dinner planned for a date."""
    value = where.value(rows.KIND, on.isoformat())
    return None if value is None else rows.planned_of(value)


def planned_between(where: Situation, first: date, last: date) -> Iterator[tuple[date, Planned]]:
    """The dinners planned for some dates, in their order."""
    for key, value in where.values(rows.KIND, *dated_keys(first, last)):
        yield type(first).fromisoformat(key), rows.planned_of(value)


def dinner_row(where: Situation, on: date, planned: Planned | None) -> PlanRow:
    """The row that plans a date's dinner, or none."""
    return where.row(rows.KIND, on.isoformat(), planned and rows.planned_json(planned))


def day_in(where: Situation, on: date) -> DinnerDay:
    """A date of a plan with its dinner."""
    found = planned_on(where, on)
    return DinnerDay(
        date=on,
        today=on == where.today,
        editable=rows.date_fault(on, where.today) is None,
        seen=rows.seen(found),
        dinner=_view(where, on, found) if found else None,
        caution=caution(where) if found and found.dish.frozen else None,
    )


def moves(where: Situation) -> Moves:
    """What has to leave the freezer today and tomorrow, and what it is too late for.

    Today and tomorrow are those of the kitchen's clock, by which food thaws.
    """
    today = kitchen_of(where).now.date()
    found = [
        Move(on, planned.dish.name, item)
        for on, planned in upcoming(where)
        if is_to_leave_by(planned.dish, on, today + ONE_DAY)
        for item in _view(where, on, planned).frozen
    ]
    due = [move for move in found if move.item.stage in {"refrigerator", "left"}]
    now = tuple(move for move in due if move.item.refrigerator_by == today)
    next_day = tuple(move for move in due if move.item.refrigerator_by == today + ONE_DAY)
    behind = tuple(move for move in found if move.item.stage in {"cold-water", "too-late"})
    return Moves(now, next_day, behind, caution(where) if now or next_day or behind else None)


def upcoming(where: Situation) -> list[tuple[date, Planned]]:
    """The dinners from today on."""
    return list(planned_between(where, where.today, rows.last_date(where.today)))


def kitchen_of(where: Situation) -> Kitchen:
    """The clock that the household's thawing goes by."""
    return Kitchen(wall_now(where.context, where.home), where.home.zone)


def caution(where: Situation) -> CautionView | None:
    """The caution that stands beside thawing."""
    return caution_view(where.context.library, CAUTION)


def _put(context: Context, household: str, on: date, dinner: Callable[[Situation], Planned]) -> DinnerDay:
    def decide(where: Situation) -> Decision[None]:
        check_date(where, on)
        before = planned_on(where, on)
        planned = rows.with_the_left(dinner(where), before)
        return to_plan([] if planned == before else [dinner_row(where, on, planned)])

    return written(context, household, decide, lambda where, _: day_in(where, on))


def _view(where: Situation, on: date, planned: Planned) -> DinnerView:
    at = wall_at(where.home, on, planned.time)
    return DinnerView(
        dish=planned.dish.name,
        time=f"{planned.time:%H:%M}",
        cooking=planned.dish.cooking,
        ingredients=planned.dish.ingredients,
        frozen=frozen_views(planned.dish, at, planned.left, kitchen_of(where)),
    )
