"""The forms of dues and of things to do, as they are sent and shown again."""

from typing import Annotated, TypedDict

from fastapi import Path
from pydantic import BaseModel, ConfigDict

from coach.desk.answers import DAYS_NEEDED, DueView, ToDoKindName, ToDoView
from coach.desk.dues import TypedDue
from coach.desk.repeats import AS_IS, choice_of, rule_for
from coach.errors import Malformed, SteadingError
from coach.ground.faults import Unfit
from coach.progress.days import iso_date

DeskId = Annotated[str, Path(pattern=r"^[0-9-]{10,20}$")]


class DueForm(BaseModel):
    """A due.

    Attributes:
        repeats: One of the choices, or `as-is` for the rule it has, if none of them makes it.
        needs: Days needed before; blank for the usual ones.
    """

    model_config = ConfigDict(extra="forbid", frozen=True)

    name: str = ""
    on: str = ""
    repeats: str = "once"
    needs: str = ""
    amount: str = ""

    def typed(self) -> TypedDue:
        """The same with the choice as a rule.

        Raises:
            Malformed: There is no such choice.
        """
        return TypedDue(self.name, self.on, self._rule(), self.needs, self.amount)

    def _rule(self) -> str | None:
        if self.repeats == AS_IS:
            return None
        try:
            on = iso_date(self.on.strip())
        except Malformed:
            # What is wrong with the date is said where it is read; every rule is right until then.
            return ""
        return rule_for(self.repeats, on) or ""


class ToDosForm(BaseModel):
    """Things to do, one on each line."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    lines: str = ""
    kind: ToDoKindName = "open"
    place: str = ""


class ToDoForm(BaseModel):
    """One thing to do."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    title: str = ""
    kind: ToDoKindName = "open"
    place: str = ""


class Against(TypedDict):
    """What speaks against a form, by field or as a whole."""

    faults: dict[str, str]
    trouble: str | None


NOTHING: Against = {"faults": {}, "trouble": None}
NEW_DUE = DueForm(needs=str(DAYS_NEEDED))
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
    )


def todo_form(todo: ToDoView) -> ToDoForm:
    """A thing to do as one would type it."""
    return ToDoForm(title=todo.title, kind=todo.kind, place=todo.place or "")


def against(error: SteadingError) -> Against:
    """What speaks against a form that was sent; of each field the first fault."""
    if isinstance(error, Unfit):
        return {"faults": {fault.field: fault.reason for fault in reversed(error.faults)}, "trouble": None}
    return {"faults": {}, "trouble": str(error)}
