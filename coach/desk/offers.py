"""What is offered once every errand is done: the mark of the step it belongs to."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.course.model import Part
from coach.desk.book import done_lately, open_todos
from coach.desk.rules.todos import ToDoKind
from coach.ground.offers import Offer, offer, unmarked

if TYPE_CHECKING:
    from coach.ground.situation import Situation


def errand_offer(where: Situation) -> Offer | None:
    """The mark of a step that works in errands, once one was done today and none waits any more."""
    place = unmarked(where, Part.ERRANDS)
    if place is None or any(todo.kind is ToDoKind.ERRAND for todo in open_todos(where).values()):
        return None
    done = (todo for todo in done_lately(where) if todo.done == where.today)
    is_done = any(todo.kind is ToDoKind.ERRAND for todo in done)
    return offer(where, place, "Every errand is finished.") if is_done else None
