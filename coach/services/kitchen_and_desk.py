"""What today's page takes from the kitchen and the desk: dinner, what to move, what today's steps list."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.home.todos import ToDoKind, errands_by_place, put_off
from coach.services.desk import due_dates
from coach.services.desk_book import desk_book
from coach.services.desk_days import is_open
from coach.services.dinner import day_of, kitchen_of, moves
from coach.services.favourites import kept
from coach.services.kitchen_and_desk_results import DeskToday, KitchenAndDesk, PutOffToday
from coach.services.thawing import next_change
from coach.services.todo_rows import open_todos, picked_of, place_view, todo_view
from coach.services.wall import between

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import datetime

    from coach.services.desk_results import ErrandPlace
    from coach.services.dinner_results import Move, Moves
    from coach.services.planning import Planning
    from coach.services.ports import Context

DESK_WORK, PUT_OFF_JOB, ERRAND_RUN = "desk-work", "put-off-job", "errand-run"


def for_today(context: Context, plan: Planning) -> KitchenAndDesk:
    """The kitchen and the desk on the household's current day.

    Args:
        context: Store, lessons and clock.
        plan: The plan as it stands today, inside an open transaction.
    """
    dinner = day_of(context, plan, plan.today)
    asks = dinner.dinner is None and not plan.away(plan.today)
    moving = moves(context, plan)
    return KitchenAndDesk(
        dinner=dinner,
        asks=asks,
        favourites=kept(plan) if asks else (),
        moves=moving,
        desk=_desk(plan),
        put_off=_put_off(plan),
        errands=_errands(plan),
        holds_until=_holds_until(context, plan, moving),
    )


def _desk(plan: Planning) -> DeskToday | None:
    book = desk_book(plan)
    dues = due_dates(book.listed(), plan.today)
    here = is_open(plan, DESK_WORK)
    return DeskToday(book.is_desk_day, book.next_desk_day, dues) if dues or here else None


def _put_off(plan: Planning) -> PutOffToday | None:
    if not is_open(plan, PUT_OFF_JOB):
        return None
    waiting = put_off(open_todos(plan).values())
    picked = picked_of(plan, waiting)
    others = tuple(todo_view(todo) for todo in waiting if todo is not picked)
    return PutOffToday(todo_view(picked) if picked else None, others)


def _errands(plan: Planning) -> tuple[ErrandPlace, ...] | None:
    if not is_open(plan, ERRAND_RUN):
        return None
    errands = [todo for todo in open_todos(plan).values() if todo.kind is ToDoKind.ERRAND]
    return tuple(place_view(place) for place in errands_by_place(errands))


def _holds_until(context: Context, plan: Planning, moving: Moves) -> datetime | None:
    """When what is said about thawing stops being true, as an instant of the context's clock."""
    kitchen = kitchen_of(context, plan)
    shown: Iterable[Move] = (*moving.today, *moving.tomorrow, *moving.behind)
    change = next_change([move.item for move in shown], kitchen.now)
    if change is None:
        return None
    return context.clock() + between(kitchen.now, change, kitchen.zone)
