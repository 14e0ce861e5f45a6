"""`/api/log.csv`: the household's log, out and in (rules §7)."""

from typing import Annotated

from fastapi import APIRouter, Body, Depends, HTTPException, Query, Request, Response
from pydantic import TypeAdapter

from coach.household import data
from coach.household.answers import Comparison, Imported
from coach.web.api.answers import IMPORTED, problems, written
from coach.web.api.fields import AsWritten
from coach.web.api.strictness import StrictRoute
from coach.web.deps import ContextDep, HouseholdDep

router = APIRouter(prefix="/log.csv", tags=["log"], route_class=StrictRoute)

CSV = "text/csv"
CSV_UTF8 = "text/csv; charset=utf-8"
ATTACHED = {"content-disposition": 'attachment; filename="steading-log.csv"'}
COMPARISON = TypeAdapter(Comparison)
Preview = Annotated[
    AsWritten, Query(description="Answer with what would be lost and gained, and change nothing.")
]
CsvBody = Annotated[
    bytes, Body(media_type=CSV, description="The log, with the header `date,what,step,value`.")
]


class CsvResponse(Response):
    """CSV text for a download."""

    media_type = CSV


@router.get("", response_class=CsvResponse, responses=problems("not-started"))
def export(context: ContextDep, household: HouseholdDep) -> Response:
    """The whole log as CSV."""
    return Response(data.export(context, household), headers=ATTACHED, media_type=CSV_UTF8)


async def only_csv(request: Request) -> None:
    """Refuse what is declared as something else than CSV."""
    if request.headers.get("content-type", CSV).partition(";")[0].strip().lower() != CSV:
        raise HTTPException(415)


@router.post(
    "",
    response_model=Imported | Comparison,
    responses=problems("faulty-file", "media-type", "too-large"),
    dependencies=[Depends(only_csv)],
)
def load(
    context: ContextDep, household: HouseholdDep, content: CsvBody = b"", *, preview: Preview = False
) -> Response:
    """Put a log in the place of the household's own, all rows or none, or compare them and change nothing."""
    if preview:
        return written(COMPARISON, data.preview(context, household, content))
    return written(IMPORTED, data.load(context, household, content))
