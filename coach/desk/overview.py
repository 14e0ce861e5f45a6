"""The desk as it stands today: what is late or comes soon, what is to be done, what today's steps list."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

from coach.course.model import Part
from coach.desk.answers import (
    Desk,
    DeskToday,
    DueDateView,
    DuesOn,
    DueView,
    ErrandPlace,
    PutOffToday,
    SeenToView,
    ToDos,
    ToDoView,
)
from coach.desk.book import (
    LATELY,
    DeskBook,
    desk_book,
    done_lately,
    due_of,
    dues_between,
    kept_due,
    open_todo,
    open_todos,
    picked_of,
    time_text,
)
from coach.desk.days import is_on_list
from coach.desk.offers import errand_offer
from coach.desk.repeats import repeats_text
from coach.desk.rules.dues import Due, DueDate, Urgency, order
from coach.desk.rules.todos import ToDo, ToDoKind, errands_by_place, put_off
from coach.ground.situation import looking
from coach.ground.wording import long_date, near_day, whole_date
from coach.progress.days import ONE_DAY

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from coach.ground.ports import Context
    from coach.ground.situation import Situation

_PUT_OFF_JOB = "put-off-job"
"""The step that older courses have for put-off jobs; whoever has it still is shown them on its days too."""


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
        seen_to=_seen_to(book),
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
    return sorted(found, key=order)


def _seen_to(book: DeskBook) -> tuple[SeenToView, ...]:
    """What was seen to lately, the latest first."""
    found = (_seen_to_view(due_id, on, value) for (due_id, on), value in book.seen_to.items())
    lately = [one for one in found if book.today - one.seen_to_on <= LATELY]
    return tuple(sorted(lately, key=lambda one: (one.seen_to_on, one.on, one.due), reverse=True))


def _seen_to_view(due_id: str, on: date, value: Mapping[str, Any]) -> SeenToView:
    was = due_of(due_id, value["due"])
    return SeenToView(
        due=due_id,
        name=value["name"],
        on=on,
        seen_to_on=date.fromisoformat(value["settled"]),
        amount=was.amount,
        time=time_text(was.at),
    )


def _due_view(due: Due) -> DueView:
    return DueView(
        id=due.id,
        name=due.name,
        on=due.on,
        repeats=due.repeats,
        repeats_text=repeats_text(due.repeats, due.on),
        needs=due.needs,
        amount=due.amount,
        time=time_text(due.at),
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
            time=time_text(one.due.at),
            text=_text(one, today),
        )
        for one in found
    )


def _text(one: DueDate, today: date) -> str:
    said = long_date(one.on) if one.on.year == today.year else whole_date(one.on)
    near = near_day(one.on, today)
    said = f"{said} at {time_text(one.due.at)}" if one.due.at else said
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
        offers=errand_offer(where),
    )


def todo_in(where: Situation, todo_id: str) -> ToDoView:
    """One thing to do, out of a situation.

    Raises:
        Unknown: There is no such to-do open.
    """
    return _todo_view(open_todo(where, todo_id))


def desk_today_in(where: Situation) -> DeskToday | None:
    """What today is given of the desk: what is due, and what desk work lists; None if that is nothing."""
    book, working = desk_book(where), is_on_list(where, Part.DESK)
    due, listed = book.standing(), book.listed()
    if not (due or listed or working):
        return None
    shown = {(one.due.id, one.on) for one in due}
    return DeskToday(
        desk_day=book.is_desk_day,
        working=working,
        next_desk_day=book.next_desk_day,
        due=_due_dates(due, where.today),
        dues=_due_dates((one for one in listed if (one.due.id, one.on) not in shown), where.today),
    )


def dues_by_date(where: Situation, first: date, last: date) -> dict[date, DuesOn]:
    """The dues of every date from the first to the last that has any."""
    found = dues_between(where, first, last)
    not_seen_to: dict[date, list[DueDate]] = {}
    seen_to: dict[date, list[SeenToView]] = {}
    for one in found.not_seen_to:
        not_seen_to.setdefault(one.on, []).append(one)
    for (due_id, on), value in found.seen_to.items():
        seen_to.setdefault(on, []).append(_seen_to_view(due_id, on, value))
    return {
        on: DuesOn(
            _due_dates(not_seen_to.get(on, ()), where.today),
            tuple(sorted(seen_to.get(on, ()), key=lambda one: (one.time or "", one.name, one.due))),
        )
        for on in not_seen_to.keys() | seen_to
    }


def put_off_today_in(where: Situation) -> PutOffToday | None:
    """What is put off, while a step that works at the desk is open today."""
    if not is_on_list(where, Part.DESK) and _PUT_OFF_JOB not in where.standing.checklist:
        return None
    waiting = put_off(open_todos(where).values())
    picked = picked_of(where, waiting)
    others = tuple(_todo_view(todo) for todo in waiting if todo is not picked)
    return PutOffToday(_todo_view(picked) if picked else None, others)


def errands_today_in(where: Situation) -> tuple[ErrandPlace, ...] | None:
    """The errands by place, while a step that works through errands is open today."""
    return _errands(open_todos(where).values()) if is_on_list(where, Part.ERRANDS) else None


def _errands(here: Iterable[ToDo]) -> tuple[ErrandPlace, ...]:
    return tuple(ErrandPlace(one.place, tuple(map(_todo_view, one.todos))) for one in errands_by_place(here))


def _todo_view(todo: ToDo) -> ToDoView:
    return ToDoView(todo.id, todo.title, todo.entered, todo.kind.value, todo.place, todo.done)
