"""`/questions`: what a household asks its coach, what it was answered, and the coach's note put away."""

from typing import Annotated, Literal

from fastapi import APIRouter, Form, Path, Request, Response
from pydantic import BaseModel, ConfigDict, Field

from coach.coaching import notes, questions
from coach.coaching.texts import LONGEST_TEXT
from coach.errors import NotStarted, SteadingError, Unknown
from coach.ground.ports import Context
from coach.household.places import places
from coach.web.dates import IsoDate
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.pages.once import OnceDep
from coach.web.pages.ways import see, words
from coach.web.problems import of_error
from coach.web.rendering import page

router = APIRouter()

MOST_LESSON = 1000
"""The largest number of a lesson that a form can name."""


class QuestionForm(BaseModel):
    """A question under a lesson; `back` is the page it was asked on."""

    model_config = ConfigDict(extra="forbid")

    text: str = ""
    step: str = Field("", max_length=100)
    lesson: int = Field(0, ge=0, le=MOST_LESSON)
    with_name: bool = False
    back: Literal["today", "step", ""] = ""
    request_id: str = ""

    @property
    def came_from(self) -> str:
        """The page it was asked on."""
        if self.back == "today":
            return "/today"
        return f"/steps/{self.step}" if self.back == "step" and self.step else "/questions"


def _page(
    request: Request,
    context: Context,
    household: str,
    said: str | None = None,
    error: SteadingError | None = None,
    typed: QuestionForm | None = None,
) -> Response:
    problem = of_error(error) if error else None
    try:
        found = questions.own_questions(context, household)
    except Unknown:
        found = None
    values = {
        "said": words(said),
        "trouble": problem.detail if problem else None,
        "found": found,
        "typed": typed,
        "longest": LONGEST_TEXT,
    }
    shown = places(context, household).open
    return page(request, "coaching/asked.html", values, problem.status if problem else 200, places=shown)


@router.get("/questions")
def look(request: Request, context: ContextDep, household: HouseholdDep, said: str | None = None) -> Response:
    """What was asked and answered."""
    return _page(request, context, household, said)


@router.post("/questions")
def ask(
    request: Request, context: OnceDep, household: HouseholdDep, form: Annotated[QuestionForm, Form()]
) -> Response:
    """Ask the coach; what cannot be asked so stands on the page as it was typed."""
    asking = questions.Asking(form.text, form.step, form.lesson, form.with_name)
    try:
        questions.ask(context, household, asking)
    except (NotStarted, Unknown):
        raise
    except SteadingError as error:
        return _page(request, context, household, error=error, typed=form)
    return see(form.came_from, "asked")


@router.post("/notes/{date}/away")
def put_away(context: ContextDep, household: HouseholdDep, date: Annotated[IsoDate, Path()]) -> Response:
    """The coach's note of today is put away."""
    notes.put_away(context, household, date)
    return see("/today")
