"""`/api/sheet`: a week on one sheet, and how the household wants it."""

from typing import Annotated

from fastapi import APIRouter, Path, Response
from pydantic import Field, TypeAdapter

from coach.paper import choices as choosing
from coach.paper import sheet as service
from coach.paper.answers import PaperName, PieceName, Sheet, SheetChoices
from coach.web.api.answers import problems, written
from coach.web.api.fields import WEEK_NAME, Body, YesNo
from coach.web.api.seen import IfMatch, matching, tagged
from coach.web.api.strictness import StrictRoute
from coach.web.deps import ContextDep, HouseholdDep

router = APIRouter(prefix="/sheet", tags=["paper"], route_class=StrictRoute)

SHEET = TypeAdapter(Sheet)
CHOICES = TypeAdapter(SheetChoices)

Named = Annotated[
    str,
    Path(
        description="A week's name in ISO 8601's form.",
        examples=["2027-W05"],
        max_length=20,
        json_schema_extra=WEEK_NAME,
    ),
]


class ChoicesBody(Body):
    """How the sheet is wanted, whole."""

    paper: PaperName = Field(examples=["a4"])
    across: YesNo = Field(default=False, description="Whether the paper lies on its long side.")
    back: YesNo = Field(
        default=False, description="Whether there is a back page, with job lines and cautions."
    )
    left_off: list[PieceName] = Field(
        default=[], max_length=20, description="What is left off.", examples=[["cues"]]
    )


@router.get("/choices", response_model=SheetChoices, responses=problems("not-started"))
def choices(context: ContextDep, household: HouseholdDep) -> Response:
    """How the household wants its sheet; its ETag."""
    return tagged(CHOICES, choosing.choices(context, household))


@router.put("/choices", response_model=SheetChoices, responses=problems("not-started", "outdated"))
def choose(
    context: ContextDep, household: HouseholdDep, body: ChoicesBody, if_match: IfMatch = None
) -> Response:
    """Say how the sheet is wanted: paper, upright or across, back page, what is left off."""
    seen = matching(context, if_match, CHOICES, choosing.choices_in)
    wanted = SheetChoices(body.paper, body.across, body.back, tuple(body.left_off))
    return written(CHOICES, choosing.choose(seen, household, wanted))


@router.get("/{week}", response_model=Sheet, responses=problems("not-started", "unknown"))
def sheet(context: ContextDep, household: HouseholdDep, week: Named) -> Response:
    """A week on one sheet: boxes of the daily lines and jobs, the area's list, dinners, dues, errands."""
    return written(SHEET, service.sheet(context, household, week))
