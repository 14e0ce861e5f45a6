"""What today's page takes from the kitchen and the desk: dinner, what to move, what today's steps list."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.around.kitchen_and_desk_answers import DeskToday, KitchenAndDesk, PutOffToday
from coach.desk.book import desk_book
from coach.desk.desk_days import is_open
from coach.desk.due_rows import KIND as DUE
from coach.desk.overview import due_dates
from coach.desk.rules.todos import ToDoKind, errands_by_place, put_off
from coach.desk.todo_rows import KIND as TODO
from coach.desk.todo_rows import PICKED, open_todos, picked_of, place_view, todo_view
from coach.ground.ports import Asked
from coach.kitchen.dinners import day_in, moves
from coach.kitchen.dinners import needed as dinners_needed
from coach.kitchen.favourites import kept

if TYPE_CHECKING:
    from coach.desk.answers import ErrandPlace
    from coach.ground.situation import Situation

DESK_WORK, PUT_OFF_JOB, ERRAND_RUN = "desk-work", "put-off-job", "errand-run"


def needed(where: Situation) -> list[Asked]:
    """What of the plan today's kitchen and desk need."""
    return [*dinners_needed(where), Asked(DUE), Asked(TODO), Asked(PICKED)]


def kitchen_and_desk_in(where: Situation) -> KitchenAndDesk:
    """The kitchen and the desk on the household's current day, out of a situation."""
    dinner = day_in(where, where.today)
    asks = dinner.dinner is None and not where.away(where.today)
    moving = moves(where)
    return KitchenAndDesk(
        dinner=dinner,
        asks=asks,
        favourites=kept(where) if asks else (),
        moves=moving,
        desk=_desk(where),
        put_off=_put_off(where),
        errands=_errands(where),
    )


def _desk(where: Situation) -> DeskToday | None:
    book = desk_book(where)
    dues = due_dates(book.listed(), where.today)
    here = is_open(where, DESK_WORK)
    return DeskToday(book.is_desk_day, book.next_desk_day, dues) if dues or here else None


def _put_off(where: Situation) -> PutOffToday | None:
    if not is_open(where, PUT_OFF_JOB):
        return None
    waiting = put_off(open_todos(where).values())
    picked = picked_of(where, waiting)
    others = tuple(todo_view(todo) for todo in waiting if todo is not picked)
    return PutOffToday(todo_view(picked) if picked else None, others)


def _errands(where: Situation) -> tuple[ErrandPlace, ...] | None:
    if not is_open(where, ERRAND_RUN):
        return None
    errands = [todo for todo in open_todos(where).values() if todo.kind is ToDoKind.ERRAND]
    return tuple(place_view(place) for place in errands_by_place(errands))
