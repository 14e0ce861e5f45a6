"""To-dos as the plan keeps them: those open under their ids, those done under the date as well."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

from coach.desk.answers import ErrandPlace, ToDoView
from coach.desk.rules.todos import Errands, ToDo, ToDoKind
from coach.ground.ports import dated_keys

if TYPE_CHECKING:
    from coach.ground.situation import Situation

KIND = "todo"
DONE = "todo-done"
PICKED = "picked"
MOST = 1000
LATELY = timedelta(days=14)


def todo_json(todo: ToDo) -> dict[str, Any]:
    """A to-do as the plan keeps it."""
    return {
        "title": todo.title,
        "entered": todo.entered.isoformat(),
        "kind": todo.kind.value,
        "place": todo.place,
    }


def todo_of(todo_id: str, value: dict[str, Any], done: date | None = None) -> ToDo:
    """The to-do that the plan keeps."""
    entered = date.fromisoformat(value["entered"])
    return ToDo(todo_id, value["title"], entered, ToDoKind(value["kind"]), value["place"], done)


def open_todos(where: Situation) -> dict[str, ToDo]:
    """The to-dos that are not done, in the order in which they were written down."""
    return {key: todo_of(key, value) for key, value in where.values(KIND)}


def done_lately(where: Situation) -> list[ToDo]:
    """The to-dos done in the last two weeks, the latest first."""
    found = where.values(DONE, *dated_keys(where.today - LATELY, where.today))
    return [todo_of(key[11:], value, date.fromisoformat(key[:10])) for key, value in reversed(found)]


def done_key(todo: ToDo, on: date) -> str:
    """The key under which a done to-do is kept."""
    return f"{on}/{todo.id}"


def todo_view(todo: ToDo) -> ToDoView:
    """A to-do as pages and JSON show it."""
    return ToDoView(todo.id, todo.title, todo.entered, todo.kind.value, todo.place, todo.done)


def place_view(errands: Errands) -> ErrandPlace:
    """The errands of a place as pages and JSON show them."""
    return ErrandPlace(errands.place, tuple(todo_view(todo) for todo in errands.todos))


def picked_of(where: Situation, waiting: tuple[ToDo, ...]) -> ToDo | None:
    """The put-off job for its next day: the one that was picked, if it still waits, or the oldest."""
    chosen = where.value(PICKED)
    picked = next((todo for todo in waiting if todo.id == chosen), None)
    return picked or next(iter(waiting), None)
