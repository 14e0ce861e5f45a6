"""`/api/today` and `/api/days`: a day as it stands, and its marks."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Annotated

from fastapi import APIRouter, Depends, Path, Query, Response
from pydantic import TypeAdapter

from coach.errors import Newer
from coach.habits import day as service
from coach.habits import few, marks, taking
from coach.habits.answers import Clash, Day, MarkedTogether
from coach.habits.hands import Tap
from coach.web.api.answers import DAY, StepId, problems, written
from coach.web.api.fields import IN_DIGITS
from coach.web.api.habits.bodies import (
    MOST_VERSION,
    SEEN_VERSION,
    TAPPED_AT,
    MarkBody,
    PartMarksBody,
    StepMarksBody,
)
from coach.web.api.strictness import StrictRoute
from coach.web.dates import Instant, IsoDate
from coach.web.deps import ContextDep, HouseholdDep

router = APIRouter(tags=["days"], route_class=StrictRoute)

On = Annotated[IsoDate, Path(description="A household day, ISO 8601.", examples=["2027-01-25"])]
SeenVersion = Annotated[int | None, Query(ge=0, le=MOST_VERSION, description=SEEN_VERSION), IN_DIGITS]
TappedAt = Annotated[Instant | None, Query(description=TAPPED_AT)]


async def tap_of(seen_version: SeenVersion = None, tapped_at: TappedAt = None) -> Tap:
    """What an address says of a mark besides."""
    return Tap(seen_version, tapped_at)


TapDep = Annotated[Tap, Depends(tap_of)]
CLASH = TypeAdapter(Clash)
MARKED_TOGETHER = TypeAdapter(MarkedTogether)
MARK_ERRORS = problems("not-started", "unknown", "not-editable", "newer")
TAKE_ERRORS = problems("not-started", "unknown", "not-editable", "not-allowed")


@contextmanager
def told_newer() -> Iterator[None]:
    """Another one's newer mark as JSON tells it: the day as it stands, and the mark beside it.

    Raises:
        Newer: There is one.
    """
    try:
        yield
    except Newer as error:
        shown, clash = error.now["shown"], error.now["clash"]
        day = shown.day if isinstance(shown, MarkedTogether) else shown
        now = DAY.dump_python(day, mode="json")  # type: ignore[arg-type]  # the use case was asked for a day
        raise Newer(str(error), {**now, "clash": CLASH.dump_python(clash, mode="json")}) from None  # type: ignore[arg-type]  # the same


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
    marking = marks.Marking(date, step, body.mark, body.tap)
    with told_newer():
        found = marks.marked(context, household, marking, service.day_view)
    return written(DAY, found)


@router.post("/days/{date}/marks", response_model=MarkedTogether, responses=MARK_ERRORS)
def post_marks(
    context: ContextDep, household: HouseholdDep, date: On, body: PartMarksBody | StepMarksBody
) -> Response:
    """Mark every daily line of a part of the day that has no mark, or several steps, or take marks back."""
    marking = (
        marks.PartMarking(date, body.slot, body.mark, body.tap)
        if isinstance(body, PartMarksBody)
        else marks.StepsMarking(date, tuple(body.steps), body.mark, body.only, body.tap)
    )
    with told_newer():
        found = marks.mark_together(context, household, marking, marks.together_view)
    return written(MARKED_TOGETHER, found)


@router.delete("/days/{date}/marks/{step}", response_model=Day, responses=MARK_ERRORS)
def delete_mark(
    context: ContextDep,
    household: HouseholdDep,
    date: On,
    step: StepId,
    tap: TapDep,
) -> Response:
    """Take a mark back, if there is one; the answer is the day as it now stands."""
    marking = marks.Marking(date, step, None, tap)
    with told_newer():
        found = marks.marked(context, household, marking, service.day_view)
    return written(DAY, found)


@router.put("/days/{date}/taken/{step}", response_model=Day, responses=TAKE_ERRORS)
def put_taken(context: ContextDep, household: HouseholdDep, date: On, step: StepId) -> Response:
    """Take a line of today: it is shown with the name of the one who asks; the answer is the day."""
    found, _ = taking.take(context, household, date, step, service.day_view)
    return written(DAY, found)


@router.delete("/days/{date}/taken/{step}", response_model=Day, responses=TAKE_ERRORS)
def delete_taken(context: ContextDep, household: HouseholdDep, date: On, step: StepId) -> Response:
    """Let a line of today be nobody's again; the answer is the day."""
    found, _ = taking.leave(context, household, date, step, service.day_view)
    return written(DAY, found)
