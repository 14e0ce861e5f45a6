"""`/api/groups/{group}/questions`, `answers` and `notes`: what a group asks, is answered and is told."""

from fastapi import APIRouter, Response
from pydantic import TypeAdapter

from coach.coaching import answering as service
from coach.coaching import notes as said
from coach.coaching.answers import Answered, Notes, NoteView, Questions
from coach.errors import Malformed
from coach.web.api.answers import problems, written
from coach.web.api.coaching.bodies import (
    AnswerBody,
    AnswerId,
    GroupId,
    NoteBody,
    NoteDate,
    QuestionChangeBody,
    QuestionId,
    WordedBody,
)
from coach.web.api.strictness import StrictRoute
from coach.web.deps import CallerDep, ContextDep

router = APIRouter(prefix="/groups/{group}", tags=["groups"], route_class=StrictRoute)

QUESTIONS = TypeAdapter(Questions)
ANSWERED = TypeAdapter(Answered)
NOTES = TypeAdapter(Notes)
NOTE = TypeAdapter(NoteView)
ERRORS = problems("unknown")
WRITE_ERRORS = problems("unknown", "not-editable")


@router.get("/questions", response_model=Questions, responses=ERRORS)
def questions(context: ContextDep, caller: CallerDep, group: GroupId) -> Response:
    """What waits, by step and alike ones together, and what was answered."""
    return written(QUESTIONS, service.questions(context, caller, group))


@router.patch("/questions/{question}", response_model=Questions, responses=WRITE_ERRORS)
def place(
    context: ContextDep, caller: CallerDep, group: GroupId, question: QuestionId, body: QuestionChangeBody
) -> Response:
    """Say that a question stands by itself, or put it together with another one."""
    if body.apart == bool(body.together):
        raise Malformed("Say either that the question stands apart, or what it is put together with.")
    if body.apart:
        return written(QUESTIONS, service.keep_apart(context, caller, group, question))
    return written(QUESTIONS, service.put_together(context, caller, group, question, body.together))


@router.post("/answers", status_code=201, response_model=Answered, responses=WRITE_ERRORS)
def answer(context: ContextDep, caller: CallerDep, group: GroupId, body: AnswerBody) -> Response:
    """Answer one or several questions once: to those who asked, and to all if it is said so."""
    answering = service.Answering(tuple(body.questions), body.text, body.for_all, body.question)
    return written(ANSWERED, service.answer(context, caller, group, answering), 201)


@router.put("/answers/{answer_id}", response_model=Answered, responses=ERRORS)
def change(
    context: ContextDep, caller: CallerDep, group: GroupId, answer_id: AnswerId, body: WordedBody
) -> Response:
    """Word an answer anew, or let it stand for all or no more; whom it answers stays."""
    answering = service.Answering((), body.text, body.for_all, body.question)
    return written(ANSWERED, service.change_answer(context, caller, group, answer_id, answering))


@router.get("/notes", response_model=Notes, responses=ERRORS)
def notes(context: ContextDep, caller: CallerDep, group: GroupId) -> Response:
    """What is said to the group, the latest date first."""
    return written(NOTES, said.notes(context, caller, group))


@router.put("/notes/{date}", response_model=NoteView, responses=WRITE_ERRORS)
def put_note(
    context: ContextDep, caller: CallerDep, group: GroupId, date: NoteDate, body: NoteBody
) -> Response:
    """Say something on a date, in the place of what was to be said then."""
    return written(NOTE, said.put_note(context, caller, group, date, body.text))


@router.delete("/notes/{date}", response_model=Notes, responses=ERRORS)
def drop_note(context: ContextDep, caller: CallerDep, group: GroupId, date: NoteDate) -> Response:
    """Say nothing then; the answer is what is still said."""
    said.drop_note(context, caller, group, date)
    return written(NOTES, said.notes(context, caller, group))
