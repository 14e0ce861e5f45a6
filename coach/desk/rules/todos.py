"""To-dos: undated things to do, open, put off, or errands by place (home rules)."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from coach.course.keys import is_blank
from coach.course.keys import text as text_faults
from coach.errors import Malformed

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from datetime import date

MOST_AT_ONCE = 200
TITLE_LENGTH = 200
PLACE_LENGTH = 80


class ToDoKind(StrEnum):
    """What becomes of a to-do: it is open, waits for the put-off job, or is done on the errand run."""

    OPEN = "open"
    PUT_OFF = "put-off"
    ERRAND = "errand"


@dataclass(frozen=True, slots=True)
class ToDo:
    """One thing to do.

    Attributes:
        entered: The date it was written down.
        place: Where an errand leads, if that is said.
        done: The date it was done on.
    """

    id: str
    title: str
    entered: date
    kind: ToDoKind = ToDoKind.OPEN
    place: str | None = None
    done: date | None = None


@dataclass(frozen=True, slots=True)
class Errands:
    """The errands of one place; None is for those without one."""

    place: str | None
    todos: tuple[ToDo, ...]


def put_off(todos: Iterable[ToDo]) -> tuple[ToDo, ...]:
    """The put-off jobs not done, the oldest first."""
    waiting = [todo for todo in todos if todo.kind is ToDoKind.PUT_OFF and todo.done is None]
    return tuple(sorted(waiting, key=lambda todo: todo.entered))


def errands_by_place(todos: Iterable[ToDo]) -> tuple[Errands, ...]:
    """The errands not done, by place in alphabetical order; those without a place come last.

    Places are the same whatever their letters' case and spaces; the first way of writing one is shown.
    """
    groups: dict[str, list[ToDo]] = {}
    for todo in todos:
        if todo.kind is ToDoKind.ERRAND and todo.done is None:
            groups.setdefault(_place_key(todo), []).append(todo)
    keys = sorted(groups, key=lambda key: (not key, key))
    return tuple(Errands(_shown(groups[key][0]), tuple(groups[key])) for key in keys)


def _place_key(todo: ToDo) -> str:
    return " ".join((todo.place or "").casefold().split())


def _shown(todo: ToDo) -> str | None:
    return " ".join((todo.place or "").split()) or None


def titles_in(pasted: str) -> tuple[str, ...]:
    """The to-dos in a pasted text, one on each line; empty lines and list signs are left out.

    Raises:
        Malformed: There is none, there are too many at once, or one of them cannot be kept.
    """
    lines = [line.strip().lstrip("-*•").strip() for line in pasted.splitlines()]
    titles = tuple(line for line in lines if not is_blank(line))
    if not titles:
        raise Malformed("There is nothing to add. Write one thing to do on each line.")
    return checked_titles(titles, "Line")


def checked_titles(titles: Sequence[str], noun: str = "Title") -> tuple[str, ...]:
    """The to-dos of a list of titles, each kept as it is but for spaces around it.

    Args:
        titles: One for each to-do.
        noun: What one of them is called in a sentence that refuses it.

    Raises:
        Malformed: There is none, there are too many at once, or one of them cannot be kept.
    """
    if not titles:
        raise Malformed("There is nothing to add. Name one thing to do at least.")
    if len(titles) > MOST_AT_ONCE:
        raise Malformed(
            f"These are {len(titles):,} things to do. Add at most {MOST_AT_ONCE} at once; nothing was added."
        )
    plain = tuple(title.strip() for title in titles)
    for number, title in enumerate(plain, 1):
        _check_title(f"{noun} {number}", title)
    return plain


def _check_title(which: str, title: str) -> None:
    if is_blank(title):
        raise Malformed(f"{which} says nothing. Name what is to be done, or leave it out; nothing was added.")
    if len(title) > TITLE_LENGTH:
        raise Malformed(
            f"{which} has {len(title):,} characters. Keep it to {TITLE_LENGTH}; nothing was added."
        )
    if any(text_faults("title", title)):
        raise Malformed(f"{which} has characters that cannot be shown; nothing was added.")


def checked_todo(todo: ToDo) -> ToDo:
    """The to-do as it is, if it can be kept.

    Raises:
        Malformed: It has no title, or its title or place cannot be kept.
    """
    if is_blank(todo.title):
        raise Malformed("What is to be done has no name. Give it one.")
    _check_title("Line 1", todo.title)
    if todo.place is not None and (len(todo.place) > PLACE_LENGTH or any(text_faults("place", todo.place))):
        raise Malformed(f"The place needs up to {PLACE_LENGTH} characters that can be shown.")
    return todo
