"""`/api/sheet/…/marks`: what was ticked on a sheet of paper, entered as a whole."""

from typing import Annotated

from fastapi import APIRouter, Response
from pydantic import Field, TypeAdapter

from coach.errors import Newer
from coach.habits.answers import MarkName
from coach.habits.hands import Tap
from coach.paper.answers import Sheet
from coach.paper.entered import SheetClash
from coach.paper.entering import Entry, enter
from coach.web.api.answers import problems, written
from coach.web.api.fields import Body, Id
from coach.web.api.habits.bodies import SEEN_VERSION, SeenVersion
from coach.web.api.paper.sheet import SHEET, Named
from coach.web.api.strictness import StrictRoute
from coach.web.dates import IsoDate
from coach.web.deps import ContextDep, HouseholdDep

router = APIRouter(prefix="/sheet", tags=["paper"], route_class=StrictRoute)

CLASHES = TypeAdapter(tuple[SheetClash, ...])
ERRORS = problems("not-started", "unknown", "not-editable", "newer")
Marks = Annotated[dict[Id, MarkName | None], Field(max_length=200)]


class SheetMarksBody(Body):
    """Marks of several days; what is not named stays as it is."""

    marks: dict[IsoDate, Marks] = Field(
        max_length=7,
        description="By date of the week and step what its mark is to be; null takes it back.",
        examples=[{"2027-02-01": {"bed-made": "kept", "door-shelf": None}}],
    )
    seen_version: SeenVersion | None = Field(None, description=SEEN_VERSION)


@router.post("/{week}/marks", response_model=Sheet, responses=ERRORS)
def enter_marks(context: ContextDep, household: HouseholdDep, week: Named, body: SheetMarksBody) -> Response:
    """Enter the marks of a sheet, all of them or none; the answer is the sheet as it now stands."""
    entry = Entry(marks=body.marks)
    try:
        found = enter(context, household, week, lambda _: entry, Tap(body.seen_version))
    except Newer as error:
        clashes = CLASHES.dump_python(error.now["clashes"], mode="json")  # type: ignore[arg-type]  # they are
        now = SHEET.dump_python(error.now["shown"], mode="json")  # type: ignore[arg-type]  # it is a sheet
        raise Newer(str(error), {**now, "clashes": clashes}) from None
    return written(SHEET, found)
