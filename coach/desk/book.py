"""The desk as the plan keeps it: dues and what is seen to of them, to-dos and those done, desk-work days."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, time, timedelta
from functools import partial
from typing import TYPE_CHECKING, Any

from coach.course.shapes import required, shape
from coach.desk.days import desk_days, told
from coach.desk.rules.dues import Due, DueDate, between, is_desk_day, listed, standing
from coach.desk.rules.repeating import check_rule, dates_of
from coach.desk.rules.todos import ToDo, ToDoKind
from coach.errors import Unknown
from coach.ground.plan_rows import Asked, dated_keys
from coach.progress.days import ONE_DAY, hour_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping

    from coach.desk.rules.dues import DeskDays, Told
    from coach.ground.situation import Situation

DUE, SEEN_TO = "due", "due-done"
TODO, DONE, PICKED = "todo", "todo-done", "picked"
YEARS_AHEAD = 40
LATELY = timedelta(days=14)
_AGO = timedelta(days=400)
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
_TIME = shape((str, None))

_SEEN_TO_DUE = shape({"name": str, "settled": str, "due": dict})


_TODO = shape({"title": str, "entered": str, "kind": str, "place": (str, None)})
_ID = shape(str)


@dataclass(frozen=True, slots=True)
class DeskBook:
    """The dues of a household as they stand on a day.

    Attributes:
        dues: By id.
        seen_to: What is seen to, by id and date, as the plan keeps it.
        days: The first desk-work day on or after a date.
        told: What the latest desk-work day before today has told; worked out when it is asked for.
        begins: The time at which the household's day begins.
    """

    today: date
    dues: Mapping[str, Due]
    seen_to: Mapping[tuple[str, date], dict[str, Any]]
    days: DeskDays
    told: Callable[[], Told | None]
    begins: time

    @property
    def is_desk_day(self) -> bool:
        """Whether today is a desk-work day."""
        return is_desk_day(self.today, self.days)

    @property
    def next_desk_day(self) -> date | None:
        """The first desk-work day after today."""
        return self.days(self.today + ONE_DAY)

    def listed(self) -> tuple[DueDate, ...]:
        """What today lists: on a desk-work day all that is late or comes too soon for the next one.

        On another day the days gone by are folded once more, if anything of that is to be seen to at all.
        """
        found = listed(self.dues.values(), self.seen_to, self.today, self.days)
        if self.is_desk_day or not found:
            return found
        return listed(self.dues.values(), self.seen_to, self.today, self.days, self.told())

    def standing(self) -> tuple[DueDate, ...]:
        """What is due today, or was before and is not seen to."""
        return standing(self.dues.values(), self.seen_to, self.today, self.begins)

    def now(self) -> tuple[DueDate, ...]:
        """What a desk-work day would list if today were one."""
        following = self.next_desk_day

        def days(day: date) -> date | None:
            return self.today if day == self.today else following

        return listed(self.dues.values(), self.seen_to, self.today, days)

    def next_open(self, due: Due, since: date | None = None) -> date | None:
        """The first date of a due that is not seen to, from a date on if one is named."""
        begun = due.on if due.seen_to_through is None else max(due.on, due.seen_to_through + ONE_DAY)
        first = max(begun, since or begun)
        return next((on for on in _dates(due, first) if (due.id, on) not in self.seen_to), None)

    def is_open(self, due: Due, on: date) -> bool:
        """Whether a due is due on a date, and that is not seen to."""
        return self.next_open(due, on) == on


@dataclass(frozen=True, slots=True)
class DuesBetween:
    """The dues of some dates: those not seen to, and those that are, as the plan keeps them."""

    not_seen_to: tuple[DueDate, ...]
    seen_to: Mapping[tuple[str, date], dict[str, Any]]


def _dates(due: Due, first: date) -> Iterator[date]:
    """The dates of a due from one on, for as long as anybody looks ahead."""
    if due.repeats is None:
        return iter([due.on] if due.on >= first else [])
    last = date(min(first.year + YEARS_AHEAD, date.max.year), 12, 31)
    return dates_of(due.repeats, due.on, first, last)


def desk_book(where: Situation) -> DeskBook:
    """The dues as they stand in a plan."""
    dues = where.plan.read(DUE, due_of)
    begun = (due.seen_to_through or due.on for due in dues.values())
    first = min((where.today - _AGO, *begun))
    seen_to = where.plan.read(SEEN_TO, _seen_to, *dated_keys(first, date.max))
    days, begins = desk_days(where), where.home.day_starts
    return DeskBook(where.today, dues, dict(seen_to.values()), days, partial(told, where), begins)


def dues_between(where: Situation, first: date, last: date) -> DuesBetween:
    """What is due on some dates, and what of that is seen to; `needed_between` says what it reads."""
    seen_to = where.plan.read(SEEN_TO, _seen_to, *dated_keys(first, last))
    dues = where.plan.read(DUE, due_of).values()
    done = dict(seen_to.values())
    return DuesBetween(between(dues, done, where.today, first, last), done)


def needed_between(first: date, last: date) -> list[Asked]:
    """What of the plan the dues of some dates are in."""
    return [Asked(DUE), Asked(SEEN_TO, *dated_keys(first, last))]


def _seen_to(key: str, value: dict[str, Any]) -> tuple[tuple[str, date], dict[str, Any]]:
    required(value, _SEEN_TO_DUE)
    date.fromisoformat(value["settled"])
    due_of(key[11:], value["due"])
    return (key[11:], date.fromisoformat(key[:10])), value


def due_seen_to(where: Situation, due_id: str, on: date) -> Due | None:
    """The due as it was when a date of it was seen to; None if it was not."""
    found = where.plan.read_one(SEEN_TO, done_key(on, due_id), _seen_to)
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
        "time": time_text(due.at),
        "settled_through": due.seen_to_through and due.seen_to_through.isoformat(),
    }


def time_text(at: time | None) -> str | None:
    """A time of day as HH:MM."""
    return None if at is None else f"{at:%H:%M}"


def due_of(due_id: str, value: dict[str, Any]) -> Due:
    """The due that the plan keeps; what is none raises what `PlanValues.read` leaves out.

    Rows of earlier versions say nothing of a time.
    """
    required(value, _DUE)
    at = value.get("time")
    required(at, _TIME)
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
        at=None if at is None else hour_of(at),
        seen_to_through=through and date.fromisoformat(through),
    )


def kept_due(where: Situation, due_id: str) -> Due:
    """The due of that id.

    Raises:
        Unknown: There is none.
    """
    due = where.plan.read_one(DUE, due_id, due_of)
    if due is None:
        raise Unknown("There is no such due. It may have been seen to or taken off meanwhile.")
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
        raise Unknown("There is no such thing to do. It may have been finished or taken off meanwhile.")
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
    """The key under which a due seen to for a date, or a to-do done on it, is kept."""
    return f"{on}/{kept_id}"
