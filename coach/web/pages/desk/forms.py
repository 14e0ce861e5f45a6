"""The forms of dues and of things to do, as they are sent and shown again."""

from typing import Annotated, TypedDict

from fastapi import Path

from coach.desk.answers import DueView, ToDoKindName, ToDoView
from coach.desk.dues import TypedDue
from coach.desk.repeats import AS_IS, choice_of, rule_for
from coach.errors import Malformed, SteadingError
from coach.ground.faults import Unfit
from coach.progress.days import iso_date
from coach.web.pages.seen import SeenForm, Shown, fields_of, seen_text

DeskId = Annotated[str, Path(pattern=r"^[0-9-]{10,20}$")]


class DueForm(SeenForm):
    """A due.

    Attributes:
        repeats: One of the choices, or `as-is` for the rule it has, if none of them makes it.
        needs: Days needed before; blank for the usual ones.
        time: HH:MM, or blank.
    """

    name: str = ""
    on: str = ""
    repeats: str = "once"
    needs: str = ""
    amount: str = ""
    time: str = ""

    def typed(self) -> TypedDue:
        """The same with the choice as a rule.

        Raises:
            Malformed: There is no such choice.
        """
        return TypedDue(self.name, self.on, self._rule(), self.needs, self.amount, self.time)

    def _rule(self) -> str | None:
        if self.repeats == AS_IS:
            return None
        try:
            on = iso_date(self.on.strip())
        except Malformed:
            # What is wrong with the date is said where it is read; every rule is right until then.
            return ""
        return rule_for(self.repeats, on) or ""


class ToDosForm(SeenForm):
    """Things to do, one on each line."""

    lines: str = ""
    kind: ToDoKindName = "open"
    place: str = ""


class ToDoForm(SeenForm):
    """One thing to do."""

    title: str = ""
    kind: ToDoKindName = "open"
    place: str = ""


DUE_LABELS = {
    "name": "What",
    "on": "Date",
    "repeats": "How often",
    "needs": "Days needed before",
    "amount": "Amount",
    "time": "Time",
}
TODO_LABELS = {"title": "What", "kind": "It is", "place": "Place"}
KIND_WORDS = {"open": "A to-do", "put-off": "A put-off job", "errand": "An errand"}


class Against(TypedDict):
    """What speaks against a form, by field or as a whole."""

    faults: dict[str, str]
    trouble: str | None


NEW_DUE = DueForm()
"""A due before anything is typed."""

NO_TODOS = ToDosForm()
"""Things to do before anything is typed."""


def due_form(due: DueView) -> DueForm:
    """A due as one would type it."""
    return DueForm(
        name=due.name,
        on=due.on.isoformat(),
        repeats=choice_of(due.repeats, due.on),
        needs=str(due.needs),
        amount=due.amount or "",
        time=due.time or "",
    )


def todo_form(todo: ToDoView) -> ToDoForm:
    """A thing to do as one would type it."""
    return ToDoForm(title=todo.title, kind=todo.kind, place=todo.place or "")


def due_shown(due: DueView) -> Shown[DueForm]:
    """A due's form as it stands."""
    form = due_form(due)
    return Shown(form, seen_text(fields_of(form)))


def todo_shown(todo: ToDoView) -> Shown[ToDoForm]:
    """The form of a thing to do as it stands."""
    form = todo_form(todo)
    return Shown(form, seen_text(fields_of(form)))


def against(error: SteadingError) -> Against:
    """What speaks against a form that was sent; of each field the first fault."""
    if isinstance(error, Unfit):
        return {"faults": {fault.field: fault.reason for fault in reversed(error.faults)}, "trouble": None}
    return {"faults": {}, "trouble": str(error)}
