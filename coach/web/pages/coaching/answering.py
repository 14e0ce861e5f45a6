"""`/groups/{group}/questions`: what a group asks, alike ones together, answered once."""

from typing import Annotated

from fastapi import APIRouter, Form, Path, Request, Response
from pydantic import BaseModel, ConfigDict

from coach.coaching import answering as service
from coach.coaching.groups import one_group
from coach.coaching.texts import LONGEST_TEXT
from coach.errors import SteadingError
from coach.ground.people import Caller
from coach.ground.ports import Context
from coach.web.deps import CallerDep, ContextDep
from coach.web.pages.coaching.shown import NOTHING, GroupId, Happened, shown
from coach.web.pages.once import OnceDep
from coach.web.pages.ways import see

router = APIRouter(prefix="/groups/{group}")

SomeId = Annotated[str, Path(max_length=100)]


class AnswerForm(BaseModel):
    """An answer to the questions that are ticked."""

    model_config = ConfigDict(extra="forbid")

    asked: list[str] = []
    text: str = ""
    question: str = ""
    for_all: bool = False
    request_id: str = ""

    @property
    def answering(self) -> service.Answering:
        """What is to be answered."""
        return service.Answering(tuple(self.asked), self.text, self.for_all, self.question)


def _page(
    request: Request,
    context: Context,
    caller: Caller,
    group: str,
    happened: Happened = NOTHING,
    typed: AnswerForm | None = None,
) -> Response:
    values = {
        "group_id": group,
        "group": one_group(context, caller, group),
        "questions": service.questions(context, caller, group),
        "typed": typed or AnswerForm(),
        "longest": LONGEST_TEXT,
    }
    return shown(request, "questions.html", values, happened)


@router.get("/questions")
def look(
    request: Request, context: ContextDep, caller: CallerDep, group: GroupId, said: str | None = None
) -> Response:
    """What waits, and what was answered."""
    return _page(request, context, caller, group, Happened(said))


@router.post("/questions/{question}/apart")
def keep_apart(
    request: Request, context: ContextDep, caller: CallerDep, group: GroupId, question: SomeId
) -> Response:
    """A question stands by itself."""
    try:
        service.keep_apart(context, caller, group, question)
    except SteadingError as error:
        return _page(request, context, caller, group, Happened(error=error))
    return see(f"/groups/{group}/questions", "apart")


@router.post("/questions/{question}/together")
def put_together(
    request: Request,
    context: ContextDep,
    caller: CallerDep,
    group: GroupId,
    question: SomeId,
    other: Annotated[str, Form(max_length=100)] = "",
) -> Response:
    """A question is put together with another one."""
    try:
        service.put_together(context, caller, group, question, other)
    except SteadingError as error:
        return _page(request, context, caller, group, Happened(error=error))
    return see(f"/groups/{group}/questions", "together")


@router.post("/answers")
def answer(
    request: Request,
    context: OnceDep,
    caller: CallerDep,
    group: GroupId,
    form: Annotated[AnswerForm, Form()],
) -> Response:
    """Answer what is ticked."""
    try:
        service.answer(context, caller, group, form.answering)
    except SteadingError as error:
        return _page(request, context, caller, group, Happened(error=error), form)
    return see(f"/groups/{group}/questions", "answered")


@router.post("/answers/{answer_id}")
def change(
    request: Request,
    context: ContextDep,
    caller: CallerDep,
    group: GroupId,
    answer_id: SomeId,
    form: Annotated[AnswerForm, Form()],
) -> Response:
    """Word an answer anew."""
    try:
        service.change_answer(context, caller, group, answer_id, form.answering)
    except SteadingError as error:
        return _page(request, context, caller, group, Happened(error=error))
    return see(f"/groups/{group}/questions", "saved")
