"""`/desk`: dues, to-dos, put-off jobs and errands on one page."""

from dataclasses import dataclass, field

from fastapi import APIRouter, Request, Response

from coach.desk import overview as desks
from coach.desk.repeats import CHOICES
from coach.ground.ports import Context
from coach.ground.situation import Situation
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.pages.desk.forms import NEW_DUE, NO_TODOS, DueForm, ToDosForm
from coach.web.pages.ways import words
from coach.web.showing import View, show

router = APIRouter(prefix="/desk")


@dataclass(frozen=True)
class Typed:
    """What the page shows beside what there is.

    Attributes:
        wrong: The form that could not be used: `due` or `to-dos`.
        faults: Why not, by field.
    """

    due: DueForm = NEW_DUE
    todos: ToDosForm = NO_TODOS
    wrong: str | None = None
    faults: dict[str, str] = field(default_factory=dict)
    said: str | None = None
    trouble: str | None = None


def desk_page(request: Request, context: Context, household: str, shown: Typed) -> Response:
    """The page, with a form as it was sent if it could not be used."""

    def view(where: Situation) -> View:
        values = {
            "desk": desks.desk_in(where),
            "todos": desks.todos_in(where),
            "choices": CHOICES,
            "shown": shown,
            "said": shown.said,
            "trouble": shown.trouble,
        }
        return "desk/overview.html", values

    return show(request, context, household, view, 422 if shown.wrong or shown.trouble else 200)


@router.get("")
def desk(request: Request, context: ContextDep, household: HouseholdDep, said: str | None = None) -> Response:
    """Everything that waits on paper or in the head."""
    return desk_page(request, context, household, Typed(said=words(said)))
