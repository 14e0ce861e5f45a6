"""`/api/log.csv`: the household's log, out and in (rules §7)."""

from typing import Annotated

from fastapi import APIRouter, Body, Depends, HTTPException, Request, Response

from coach.errors import Malformed
from coach.services import data
from coach.services.results import Imported
from coach.web.api.answers import IMPORTED, problems, written
from coach.web.deps import ContextDep, HouseholdDep

router = APIRouter(prefix="/log.csv", tags=["log"])

CSV = "text/csv"
CSV_UTF8 = "text/csv; charset=utf-8"
ATTACHED = {"content-disposition": 'attachment; filename="steading-log.csv"'}
CsvBody = Annotated[
    bytes, Body(media_type=CSV, description="The log, with the header `date,what,step,value`.")
]


class CsvResponse(Response):
    """CSV text for a download."""

    media_type = CSV


def text_of(content: bytes) -> str:
    """The text of an uploaded file.

    Raises:
        Malformed: It is not UTF-8.
    """
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        raise Malformed(
            f"Line {line} is not UTF-8 text. Save the file as CSV in UTF-8 and send it again."
        ) from None


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
    response_model=Imported,
    responses=problems("faulty-file", "media-type", "too-large"),
    dependencies=[Depends(only_csv)],
)
def load(context: ContextDep, household: HouseholdDep, content: CsvBody = b"") -> Response:
    """Put a log in the place of the household's own, all rows or none; every fault is listed."""
    return written(IMPORTED, data.load(context, household, text_of(content)))
