"""`/api/today` and `/api/days`: a day as it stands, and its marks."""

from typing import Annotated

from fastapi import APIRouter, Path, Response
from pydantic import TypeAdapter

from coach.habits import day as service
from coach.habits import few, marks
from coach.habits.answers import Day, MarkedTogether
from coach.web.api.answers import DAY, StepId, problems, written
from coach.web.api.habits.bodies import MarkBody, PartMarksBody, StepMarksBody
from coach.web.api.strictness import StrictRoute
from coach.web.dates import IsoDate
from coach.web.deps import ContextDep, HouseholdDep

router = APIRouter(tags=["days"], route_class=StrictRoute)

On = Annotated[IsoDate, Path(description="A household day, ISO 8601.", examples=["2027-01-25"])]

MARKED_TOGETHER = TypeAdapter(MarkedTogether)
MARK_ERRORS = problems("not-started", "unknown", "not-editable")


@router.get("/today", response_model=Day, responses=problems("not-started"))
def today(context: ContextDep, household: HouseholdDep) -> Response:
    """The household's current day: its lesson, its checklist, and why the next step has not come yet."""
    return written(DAY, service.today(context, household))


@router.post("/today/few", response_model=Day, responses=problems("not-started"))
def leave_few(context: ContextDep, household: HouseholdDep) -> Response:
    """Only a few today: mark the other open lines excused; the answer is the day as it now stands."""
    return written(DAY, few.leave_few(context, household))


@router.delete("/today/few", response_model=Day, responses=problems("not-started"))
def bring_back(context: ContextDep, household: HouseholdDep) -> Response:
    """Take back the marks that leaving a few made, and no others; the answer is the day as it now stands."""
    return written(DAY, few.bring_back(context, household))


@router.get("/days/{date}", response_model=Day, responses=problems("not-started", "unknown"))
def day(context: ContextDep, household: HouseholdDep, date: On) -> Response:
    """Any household day from the start until today."""
    return written(DAY, service.day(context, household, date))


@router.put("/days/{date}/marks/{step}", response_model=Day, responses=MARK_ERRORS)
def put_mark(
    context: ContextDep, household: HouseholdDep, date: On, step: StepId, body: MarkBody
) -> Response:
    """Mark a step on today or one of the 7 days before it; the answer is the day as it now stands."""
    return written(DAY, marks.mark(context, household, date, step, body.mark))


@router.post("/days/{date}/marks", response_model=MarkedTogether, responses=MARK_ERRORS)
def post_marks(
    context: ContextDep, household: HouseholdDep, date: On, body: PartMarksBody | StepMarksBody
) -> Response:
    """Mark every daily line of a part of the day that has no mark, or several steps, or take marks back."""
    marking = (
        marks.PartMarking(date, body.slot, body.mark)
        if isinstance(body, PartMarksBody)
        else marks.StepsMarking(date, tuple(body.steps), body.mark, body.only)
    )
    found = marks.mark_together(context, household, marking, marks.together_view)
    return written(MARKED_TOGETHER, found)


@router.delete("/days/{date}/marks/{step}", response_model=Day, responses=MARK_ERRORS)
def delete_mark(context: ContextDep, household: HouseholdDep, date: On, step: StepId) -> Response:
    """Take a mark back, if there is one; the answer is the day as it now stands."""
    return written(DAY, marks.unmark(context, household, date, step))
