"""The desk as it stands today: what is late or comes soon, what is to be done, what today's steps list."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

from coach.desk.answers import (
    Desk,
    DeskToday,
    DueDateView,
    DueView,
    ErrandPlace,
    PutOffToday,
    SettledView,
    ToDos,
    ToDoView,
)
from coach.desk.book import (
    DESK_WORK,
    LATELY,
    DeskBook,
    desk_book,
    done_lately,
    is_on_list,
    kept_due,
    open_todo,
    open_todos,
    picked_of,
)
from coach.desk.repeats import repeats_text
from coach.desk.rules.dues import Due, DueDate, Urgency
from coach.desk.rules.todos import ToDo, ToDoKind, errands_by_place, put_off
from coach.ground.situation import looking
from coach.ground.wording import long_date, near_day, whole_date
from coach.progress.days import ONE_DAY

if TYPE_CHECKING:
    from collections.abc import Iterable

    from coach.ground.ports import Context
    from coach.ground.situation import Situation

PUT_OFF_JOB, ERRAND_RUN = "put-off-job", "errand-run"


def desk(context: Context, household: str) -> Desk:
    """The desk as it stands today.

    Raises:
        NotStarted: The household has not chosen its first step.
    """
    with looking(context, household) as where:
        return desk_in(where)


def desk_in(where: Situation) -> Desk:
    """The desk as it stands today, out of a situation."""
    book = desk_book(where)
    now = book.now()
    return Desk(
        date=book.today,
        desk_day=book.is_desk_day,
        next_desk_day=book.next_desk_day,
        now=_due_dates(now, book.today),
        coming=_due_dates(_coming(book, now), book.today),
        settled=_settled(book),
        dues=tuple(map(_due_view, sorted(book.dues.values(), key=_by_name))),
    )


def _by_name(due: Due) -> tuple[str, str]:
    return due.name.casefold(), due.id


def due_in(where: Situation, due_id: str) -> DueView:
    """One due, out of a situation.

    Raises:
        Unknown: There is no such due.
    """
    return _due_view(kept_due(where, due_id))


def _coming(book: DeskBook, now: Iterable[DueDate]) -> list[DueDate]:
    """The next date of each due after those listed now; all of them leave time enough."""
    listed = {one.due.id: one.on + ONE_DAY for one in now}
    found = (
        DueDate(due, on, on - timedelta(days=due.needs), Urgency.IN_TIME)
        for due in book.dues.values()
        if (on := book.next_open(due, listed.get(due.id)))
    )
    return sorted(found, key=lambda one: (one.on, one.due.name, one.due.id))


def _settled(book: DeskBook) -> tuple[SettledView, ...]:
    """What was dealt with lately, the latest first."""
    found = (
        SettledView(due_id, value["name"], on, date.fromisoformat(value["settled"]))
        for (due_id, on), value in book.settled.items()
    )
    lately = [one for one in found if book.today - one.settled_on <= LATELY]
    return tuple(sorted(lately, key=lambda one: (one.settled_on, one.on, one.due), reverse=True))


def _due_view(due: Due) -> DueView:
    return DueView(
        due.id, due.name, due.on, due.repeats, repeats_text(due.repeats, due.on), due.needs, due.amount
    )


def _due_dates(found: Iterable[DueDate], today: date) -> tuple[DueDateView, ...]:
    return tuple(
        DueDateView(
            due=one.due.id,
            name=one.due.name,
            on=one.on,
            comfortable=one.comfortable,
            urgency=one.urgency.value,
            amount=one.due.amount,
            text=_text(one, today),
        )
        for one in found
    )


def _text(one: DueDate, today: date) -> str:
    said = long_date(one.on) if one.on.year == today.year else whole_date(one.on)
    near = near_day(one.on, today)
    when = f"{near}, {said}" if near else said
    if one.urgency is Urgency.OVERDUE:
        return f"Was due {said}"
    if one.urgency is Urgency.LATE:
        days = "the day" if one.due.needs == 1 else f"the {one.due.needs} days"
        return f"Due {when}, sooner than {days} it needs"
    return f"Due {when}"


def todos(context: Context, household: str) -> ToDos:
    """Everything to be done that has no date.

    Raises:
        NotStarted: The household has not chosen its first step.
    """
    with looking(context, household) as where:
        return todos_in(where)


def todos_in(where: Situation) -> ToDos:
    """Everything to be done that has no date, out of a situation."""
    here = tuple(open_todos(where).values())
    waiting = put_off(here)
    picked = picked_of(where, waiting)
    return ToDos(
        date=where.today,
        open=tuple(_todo_view(todo) for todo in here if todo.kind is ToDoKind.OPEN),
        put_off=tuple(map(_todo_view, waiting)),
        picked=_todo_view(picked) if picked else None,
        errands=_errands(here),
        done=tuple(map(_todo_view, done_lately(where))),
    )


def todo_in(where: Situation, todo_id: str) -> ToDoView:
    """One thing to do, out of a situation.

    Raises:
        Unknown: There is no such to-do open.
    """
    return _todo_view(open_todo(where, todo_id))


def desk_today_in(where: Situation) -> DeskToday | None:
    """What the desk lists today, on a desk-work day or when something cannot wait for one."""
    book = desk_book(where)
    dues = _due_dates(book.listed(), where.today)
    here = is_on_list(where, DESK_WORK)
    return DeskToday(book.is_desk_day, book.next_desk_day, dues) if dues or here else None


def put_off_today_in(where: Situation) -> PutOffToday | None:
    """What is put off, while the step of the put-off job is open today."""
    if not is_on_list(where, PUT_OFF_JOB):
        return None
    waiting = put_off(open_todos(where).values())
    picked = picked_of(where, waiting)
    others = tuple(_todo_view(todo) for todo in waiting if todo is not picked)
    return PutOffToday(_todo_view(picked) if picked else None, others)


def errands_today_in(where: Situation) -> tuple[ErrandPlace, ...] | None:
    """The errands by place, while the step of the errand run is open today."""
    return _errands(open_todos(where).values()) if is_on_list(where, ERRAND_RUN) else None


def _errands(here: Iterable[ToDo]) -> tuple[ErrandPlace, ...]:
    return tuple(ErrandPlace(one.place, tuple(map(_todo_view, one.todos))) for one in errands_by_place(here))


def _todo_view(todo: ToDo) -> ToDoView:
    return ToDoView(todo.id, todo.title, todo.entered, todo.kind.value, todo.place, todo.done)
