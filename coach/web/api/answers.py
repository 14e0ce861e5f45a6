"""Service results as JSON, written once, and the errors an endpoint documents."""

from copy import deepcopy
from typing import Annotated, Any, TypeVar

from fastapi import Path
from fastapi.responses import Response
from pydantic import BaseModel, ConfigDict, TypeAdapter

from coach.habits.answers import Day
from coach.habits.path_answers import Path as PathResult
from coach.habits.path_answers import StepView
from coach.household.answers import Imported
from coach.web.problem_kinds import KINDS
from coach.web.problems import MEDIA_TYPE

Result = TypeVar("Result")

DAY = TypeAdapter(Day)
PATH = TypeAdapter(PathResult)
STEP = TypeAdapter(StepView)
IMPORTED = TypeAdapter(Imported)

StepId = Annotated[str, Path(description="The step's id, as in `checklist` and `steps`.", max_length=100)]


def written(adapter: TypeAdapter[Result], result: Result, status: int = 200) -> Response:
    """A result as JSON; it comes from our own use cases, so it is not validated a second time."""
    return Response(adapter.dump_json(result), status, media_type="application/json")


class ProblemDocument(BaseModel):
    """An error as RFC 9457 describes it."""

    model_config = ConfigDict(extra="allow")

    type: str
    title: str
    status: int
    detail: str


_PROBLEM = ProblemDocument.model_json_schema()
"""Worked out once: some hundred endpoints document some kinds of problem each."""


def problems(*names: str) -> dict[int | str, dict[str, Any]]:
    """What an endpoint documents for the kinds of problem it answers with; several may share a status."""
    documented: dict[int | str, dict[str, Any]] = {}
    for name in (*names, "malformed", "store"):
        documented = with_problem(documented, name)
    return documented


def with_problem(documented: dict[int | str, dict[str, Any]], name: str) -> dict[int | str, dict[str, Any]]:
    """What is documented already and one kind of problem more."""
    _, status, general = KINDS[name]
    known = documented.get(status, {}).get("description", "")
    said = known if general in known else f"{known} {general}".strip()
    return documented | {status: _described(said)}


def _described(text: str) -> dict[str, Any]:
    return {"description": text, "content": {MEDIA_TYPE: {"schema": deepcopy(_PROBLEM)}}}
