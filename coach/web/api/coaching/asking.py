"""`/api/questions`: what a household asks its coach, what it was answered, and the coach's note put away."""

from fastapi import APIRouter, Response
from pydantic import TypeAdapter

from coach.coaching import notes
from coach.coaching import questions as service
from coach.coaching.answers import OwnQuestions
from coach.web.api.answers import problems, written
from coach.web.api.coaching.bodies import NoteDate, QuestionBody
from coach.web.api.strictness import StrictRoute
from coach.web.deps import ContextDep, HouseholdDep

router = APIRouter(tags=["groups"], route_class=StrictRoute)

OWN = TypeAdapter(OwnQuestions)


@router.get("/questions", response_model=OwnQuestions, responses=problems("not-started", "unknown"))
def look(context: ContextDep, household: HouseholdDep) -> Response:
    """The household's questions with answers, what was answered to all of its group, and today's note."""
    return written(OWN, service.own_questions(context, household))


@router.post(
    "/questions",
    status_code=201,
    response_model=OwnQuestions,
    responses=problems("not-started", "unknown", "not-editable"),
)
def ask(context: ContextDep, household: HouseholdDep, body: QuestionBody) -> Response:
    """Ask the coach under a lesson; the answer is what the household has of its coach."""
    asking = service.Asking(body.text, body.step, body.lesson, body.with_name)
    return written(OWN, service.ask(context, household, asking), 201)


@router.put(
    "/notes/{date}/away",
    response_model=OwnQuestions,
    responses=problems("not-started", "unknown", "not-editable"),
)
def put_away(context: ContextDep, household: HouseholdDep, date: NoteDate) -> Response:
    """Put today's note away for the household; twice is the same as once."""
    notes.put_away(context, household, date)
    return written(OWN, service.own_questions(context, household))
