"""The desk as the plan keeps it: dues and what is settled of them, to-dos and those done, desk-work days."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

from coach.course.recurrence import next_fall
from coach.course.shapes import required, shape
from coach.desk.rules.dues import Due, DueDate, is_desk_day, listed
from coach.desk.rules.repeating import check_rule, dates_of
from coach.desk.rules.todos import ToDo, ToDoKind
from coach.errors import Unknown
from coach.ground.ports import dated_keys
from coach.progress.days import ONE_DAY
from coach.progress.standing import Stand

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping

    from coach.desk.rules.dues import DeskDays
    from coach.ground.situation import Situation

DUE, SETTLED = "due", "due-done"
TODO, DONE, PICKED = "todo", "todo-done", "picked"
DESK_WORK = "desk-work"
YEARS_AHEAD = 40
LATELY = timedelta(days=14)
_AGO = _AHEAD = timedelta(days=400)
_DUE = shape(
    {
        "name": str,
        "on": str,
        "entered": str,
        "repeats": (str, None),
        "needs": int,
        "amount": (str, None),
        "settled_through": (str, None),
    }
)
_WORKED_ON = {Stand.PRACTISING, Stand.SETTLED}


_SETTLED_DUE = shape({"name": str, "settled": str, "due": dict})


_TODO = shape({"title": str, "entered": str, "kind": str, "place": (str, None)})
_ID = shape(str)


@dataclass(frozen=True, slots=True)
class DeskBook:
    """The dues of a household as they stand on a day.

    Attributes:
        dues: By id.
        settled: What is settled, by id and date, as the plan keeps it.
        days: The first desk-work day on or after a date.
    """

    today: date
    dues: Mapping[str, Due]
    settled: Mapping[tuple[str, date], dict[str, Any]]
    days: DeskDays

    @property
    def is_desk_day(self) -> bool:
        """Whether today is a desk-work day."""
        return is_desk_day(self.today, self.days)

    @property
    def next_desk_day(self) -> date | None:
        """The first desk-work day after today."""
        return self.days(self.today + ONE_DAY)

    def listed(self) -> tuple[DueDate, ...]:
        """What today lists: on a desk-work day all that is late or comes too soon for the next one."""
        return listed(self.dues.values(), self.settled, self.today, self.days)

    def now(self) -> tuple[DueDate, ...]:
        """What a desk-work day would list if today were one."""
        following = self.next_desk_day

        def days(day: date) -> date | None:
            return self.today if day == self.today else following

        return listed(self.dues.values(), self.settled, self.today, days)

    def next_open(self, due: Due, since: date | None = None) -> date | None:
        """The first date of a due that is not settled, from a date on if one is named."""
        begun = due.on if due.settled_through is None else max(due.on, due.settled_through + ONE_DAY)
        first = max(begun, since or begun)
        return next((on for on in _dates(due, first) if (due.id, on) not in self.settled), None)

    def is_open(self, due: Due, on: date) -> bool:
        """Whether a due is due on a date, and that is not settled."""
        return self.next_open(due, on) == on


def _dates(due: Due, first: date) -> Iterator[date]:
    """The dates of a due from one on, for as long as anybody looks ahead."""
    if due.repeats is None:
        return iter([due.on] if due.on >= first else [])
    last = date(min(first.year + YEARS_AHEAD, date.max.year), 12, 31)
    return dates_of(due.repeats, due.on, first, last)


def desk_book(where: Situation) -> DeskBook:
    """The dues as they stand in a plan."""
    dues = where.plan.read(DUE, due_of)
    begun = (due.settled_through or due.on for due in dues.values())
    first = min((where.today - _AGO, *begun))
    settled = where.plan.read(SETTLED, _settled, *dated_keys(first, date.max))
    return DeskBook(where.today, dues, dict(settled.values()), desk_days(where))


def _settled(key: str, value: dict[str, Any]) -> tuple[tuple[str, date], dict[str, Any]]:
    required(value, _SETTLED_DUE)
    date.fromisoformat(value["settled"])
    due_of(key[11:], value["due"])
    return (key[11:], date.fromisoformat(key[:10])), value


def settled_due(where: Situation, due_id: str, on: date) -> Due | None:
    """The due as it was when a date of it was settled; None if it was not."""
    found = where.plan.read_one(SETTLED, done_key(on, due_id), _settled)
    return None if found is None else due_of(due_id, found[1]["due"])


def due_json(due: Due) -> dict[str, Any]:
    """A due as the plan keeps it, under its id."""
    return {
        "name": due.name,
        "on": due.on.isoformat(),
        "entered": due.entered.isoformat(),
        "repeats": due.repeats,
        "needs": due.needs,
        "amount": due.amount,
        "settled_through": due.settled_through and due.settled_through.isoformat(),
    }


def due_of(due_id: str, value: dict[str, Any]) -> Due:
    """The due that the plan keeps; what is none raises what `PlanValues.read` leaves out."""
    required(value, _DUE)
    through, on = value["settled_through"], date.fromisoformat(value["on"])
    if value["repeats"] is not None:
        check_rule(value["repeats"], on)
    return Due(
        id=due_id,
        name=value["name"],
        on=on,
        entered=date.fromisoformat(value["entered"]),
        repeats=value["repeats"],
        needs=value["needs"],
        amount=value["amount"],
        settled_through=through and date.fromisoformat(through),
    )


def kept_due(where: Situation, due_id: str) -> Due:
    """The due of that id.

    Raises:
        Unknown: There is none.
    """
    due = where.plan.read_one(DUE, due_id, due_of)
    if due is None:
        raise Unknown("There is no such due. It may have been settled or taken off meanwhile.")
    return due


def todo_json(todo: ToDo) -> dict[str, Any]:
    """A to-do as the plan keeps it."""
    return {
        "title": todo.title,
        "entered": todo.entered.isoformat(),
        "kind": todo.kind.value,
        "place": todo.place,
    }


def todo_of(todo_id: str, value: dict[str, Any], done: date | None = None) -> ToDo:
    """The to-do that the plan keeps; what is none raises what `PlanValues.read` leaves out."""
    required(value, _TODO)
    entered = date.fromisoformat(value["entered"])
    return ToDo(todo_id, value["title"], entered, ToDoKind(value["kind"]), value["place"], done)


def open_todos(where: Situation) -> dict[str, ToDo]:
    """The to-dos that are not done, in the order in which they were written down."""
    return where.plan.read(TODO, todo_of)


def open_todo(where: Situation, todo_id: str) -> ToDo:
    """The to-do of that id, not done.

    Raises:
        Unknown: There is none.
    """
    todo = where.plan.read_one(TODO, todo_id, todo_of)
    if todo is None:
        raise Unknown("There is no such thing to do. It may have been done or taken off meanwhile.")
    return todo


def done_lately(where: Situation) -> list[ToDo]:
    """The to-dos done in the last two weeks, the latest first."""
    found = where.plan.read(DONE, _done, *dated_keys(where.today - LATELY, where.today))
    return list(reversed(found.values()))


def _done(key: str, value: dict[str, Any]) -> ToDo:
    return todo_of(key[11:], value, date.fromisoformat(key[:10]))


def picked_of(where: Situation, waiting: tuple[ToDo, ...]) -> ToDo | None:
    """The put-off job for its next day: the one that was picked, if it still waits, or the oldest."""
    chosen = chosen_of(where)
    picked = next((todo for todo in waiting if todo.id == chosen), None)
    return picked or next(iter(waiting), None)


def chosen_of(where: Situation) -> str | None:
    """The id of the put-off job that was picked last; it may wait no more."""
    return where.plan.read_one(PICKED, "", _id)


def _id(_key: str, value: str) -> str:
    required(value, _ID)
    return value


def done_key(on: date, kept_id: str) -> str:
    """The key under which a due settled for a date, or a to-do done on it, is kept."""
    return f"{on}/{kept_id}"


def desk_days(where: Situation) -> DeskDays:
    """The first desk-work day on or after a date, if there is one within the next 400 days.

    Days away are none. Today is one while the step of an earlier day is still open.
    """
    following = _following(where)

    def first(day: date) -> date | None:
        if day == where.today and is_on_list(where, DESK_WORK):
            return day
        return next((found for found in following(day) if not where.away(found)), None)

    return first


def is_on_list(where: Situation, step: str) -> bool:
    """Whether a step stands on today's list."""
    return step in where.standing.checklist


def _following(where: Situation) -> Callable[[date], Iterator[date]]:
    place = where.standing.steps.get(DESK_WORK)
    start = place.introduced_on if place is not None and place.state in _WORKED_ON else None
    if place is None or start is None:
        return lambda day: (day + ahead * ONE_DAY for ahead in range(_AHEAD.days))
    rule, since = place.step.repeats, start
    return lambda day: _falls(rule, since, day)


def _falls(rule: str, start: date, day: date) -> Iterator[date]:
    found = next_fall(rule, start, day - ONE_DAY)
    while found is not None and found - day < _AHEAD:
        yield found
        found = next_fall(rule, start, found)
