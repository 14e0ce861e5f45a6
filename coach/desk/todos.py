"""To-dos: written down one by one or many at once, put off, taken along as errands, done."""

from __future__ import annotations

from dataclasses import replace
from itertools import islice
from typing import TYPE_CHECKING

from coach.course.keys import is_blank
from coach.desk.book import (
    DONE,
    PICKED,
    TODO,
    chosen_of,
    done_key,
    done_lately,
    open_todo,
    todo_json,
)
from coach.desk.overview import todos_in
from coach.desk.rules.todos import (
    ToDo,
    ToDoKind,
    checked_titles,
    checked_todo,
    titles_in,
)
from coach.errors import Malformed, NotEditable
from coach.ground.ids import free_ids
from coach.ground.plan_rows import dated_keys
from coach.ground.writing import Decision, to_plan, written

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from coach.desk.answers import ToDoKindName, ToDos
    from coach.ground.plan_rows import PlanRow
    from coach.ground.ports import Context
    from coach.ground.situation import Situation

    Decide = Callable[[Situation, ToDo], Decision[None]]

MOST = 1000


def add(
    context: Context,
    household: str,
    lines: str,
    kind: ToDoKindName = "open",
    place: str | None = None,
) -> ToDos:
    """Write to-dos down, one on each line.

    Args:
        context: Store, lessons and clock.
        household: Its key.
        lines: What was typed or pasted.
        kind: Of all of them.
        place: Where they lead, if they are errands.

    Raises:
        NotStarted: The household has not chosen its first step.
        Malformed: There is nothing, too many at once, or one that cannot be kept; nothing was written.
        NotEditable: With them there would be too many.
    """
    return add_titles(context, household, titles_in(lines), kind, place)


def add_titles(
    context: Context,
    household: str,
    titles: Sequence[str],
    kind: ToDoKindName = "open",
    place: str | None = None,
) -> ToDos:
    """Write to-dos down, one for each title, as a program names them.

    Raises:
        NotStarted: The household has not chosen its first step.
        Malformed: There is none, there are too many, or one cannot be kept; nothing was written.
        NotEditable: With them there would be too many.
    """
    wanted = checked_titles(titles)

    def decide(where: Situation) -> Decision[None]:
        return to_plan(added_rows(where, wanted, ToDoKind(kind), place))

    return _decided(context, household, decide)


def added_rows(
    where: Situation, titles: tuple[str, ...], kind: ToDoKind, place: str | None = None
) -> list[PlanRow]:
    """The rows that write to-dos down."""
    here = where.plan.keys(TODO)
    if len(here) + len(titles) > MOST:
        raise NotEditable(
            f"There are {len(here):,} things to do already, and {MOST:,} is the most. "
            "Finish some or take some off first; nothing was added."
        )
    done_today = (key[11:] for key in where.plan.keys(DONE, *dated_keys(where.today, where.today)))
    ids = islice(free_ids(where.today, [*here, *done_today]), len(titles))
    added = (
        checked_todo(ToDo(todo_id, title, where.today, kind, _place(kind, place)))
        for todo_id, title in zip(ids, titles, strict=True)
    )
    return [where.row(TODO, todo.id, todo_json(todo)) for todo in added]


def change(
    context: Context,
    household: str,
    todo_id: str,
    title: str | None = None,
    kind: ToDoKindName | None = None,
    place: str | None = None,
) -> ToDos:
    """Change a to-do: its words, whether it is put off or an errand, and where to; None leaves a part.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: There is no such to-do open.
        Malformed: It cannot be kept so.
    """

    def decide(where: Situation, todo: ToDo) -> Decision[None]:
        words = todo.title if title is None else " ".join(title.split())
        leads_to = todo.place if place is None else place
        kind_now = ToDoKind(kind) if kind else todo.kind
        new = checked_todo(replace(todo, title=words, kind=kind_now, place=_place(kind_now, leads_to)))
        return to_plan([] if new == todo else [where.row(TODO, todo_id, todo_json(new))])

    return _changed(context, household, todo_id, decide)


def finish(context: Context, household: str, todo_id: str) -> ToDos:
    """Say that a to-do is done; twice is the same as once.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: There is no such to-do.
    """

    def decide(where: Situation) -> Decision[None]:
        if any(todo.id == todo_id for todo in done_lately(where)):
            return to_plan([])
        todo = open_todo(where, todo_id)
        key = done_key(where.today, todo_id)
        return to_plan([where.row(TODO, todo_id, None), where.row(DONE, key, todo_json(todo))])

    return _decided(context, household, decide)


def unfinish(context: Context, household: str, todo_id: str) -> ToDos:
    """Say that a to-do done in the last two weeks is not done after all.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: It was not done lately.
    """

    def decide(where: Situation) -> Decision[None]:
        todo = next((one for one in done_lately(where) if one.id == todo_id), None)
        if todo is None or todo.done is None:
            open_todo(where, todo_id)
            return to_plan([])
        key = done_key(todo.done, todo_id)
        return to_plan([where.row(DONE, key, None), where.row(TODO, todo_id, todo_json(todo))])

    return _decided(context, household, decide)


def remove(context: Context, household: str, todo_id: str) -> ToDos:
    """Take a to-do off without doing it.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: There is no such to-do open.
    """
    return _changed(context, household, todo_id, lambda where, _: to_plan([where.row(TODO, todo_id, None)]))


def pick(context: Context, household: str, todo_id: str) -> ToDos:
    """Pick a put-off job for its next day, in place of the oldest.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: There is no such to-do open.
        Malformed: It is not put off.
    """

    def decide(where: Situation, todo: ToDo) -> Decision[None]:
        if todo.kind is not ToDoKind.PUT_OFF:
            raise Malformed(f"“{todo.title}” is not put off. Put it off first, then pick it.")
        is_picked = chosen_of(where) == todo_id
        return to_plan([] if is_picked else [where.row(PICKED, "", todo_id)])

    return _changed(context, household, todo_id, decide)


def _place(kind: ToDoKind, place: str | None) -> str | None:
    """Where an errand leads; other to-dos lead nowhere."""
    words = " ".join((place or "").split())
    return words if kind is ToDoKind.ERRAND and not is_blank(words) else None


def _changed(context: Context, household: str, todo_id: str, decide: Decide) -> ToDos:
    return _decided(context, household, lambda where: decide(where, open_todo(where, todo_id)))


def _decided(context: Context, household: str, decide: Callable[[Situation], Decision[None]]) -> ToDos:
    return written(context, household, decide, lambda where, _: todos_in(where))
