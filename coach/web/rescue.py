"""`/rescue`: the log, a backup and the way back from one, whatever is wrong with all else."""

import logging
from typing import Annotated

from fastapi import APIRouter, File, Request, Response, UploadFile
from fastapi.responses import HTMLResponse

from coach.errors import Malformed, SteadingError
from coach.ground.ports import Context
from coach.household import replacing, rescue
from coach.web.deps import ContextDep, HeldDep, HouseholdDep
from coach.web.events import raised
from coach.web.held import Held
from coach.web.pages.ways import see
from coach.web.problems import of_error
from coach.web.rendering import templates

log = logging.getLogger(__name__)

router = APIRouter(prefix="/rescue", include_in_schema=False)

KIND = "rescue"
ATTACHED = {"content-disposition": 'attachment; filename="steading-log.csv"'}
NO_FILE = "Choose a file first."
UNTOLD = "What is wrong cannot be told: looking at it failed. The server's log says why."
RESTORED = "The backup is back in place. Look at today's page."


def _page(
    context: Context,
    household: str,
    error: SteadingError | None = None,
    **values: object,
) -> Response:
    """The page; whatever fails on the way to what it says is said on it."""
    shown = {
        "findings": _findings(context, household),
        "has_file": context.copies is not None,
        "trouble": of_error(error).detail if error else None,
        "said": None,
        "found": None,
        "address": None,
        **values,
    }
    status = of_error(error).status if error else 200
    return HTMLResponse(templates.get_template("rescue.html").render(shown), status)


def _findings(context: Context, household: str) -> list[str]:
    try:
        return [finding.text for finding in rescue.findings(context, household)]
    except Exception as error:  # noqa: BLE001  logged, and the page opens whatever is wrong
        log.error("What is wrong cannot be told: %s", raised(error))  # noqa: TRY400  its words stay out of the log
        return [UNTOLD]


@router.get("")
def look(context: ContextDep, household: HouseholdDep, said: str | None = None) -> Response:
    """What is wrong, and what can be had and done."""
    return _page(context, household, said=RESTORED if said == "restored-database" else None)


@router.get("/log.csv")
def take_log(context: ContextDep, household: HouseholdDep) -> Response:
    """The log as it is kept."""
    try:
        text = rescue.log_text(context, household)
    except SteadingError as error:
        return _page(context, household, error)
    return Response(text, headers=ATTACHED, media_type="text/csv; charset=utf-8")


@router.post("/restore")
def take_backup(
    context: ContextDep,
    household: HouseholdDep,
    held: HeldDep,
    saved: Annotated[UploadFile | None, File()] = None,
) -> Response:
    """Check a backup and hold it; nothing is changed."""
    token = ""
    try:
        if saved is None or not saved.filename:
            raise Malformed(NO_FILE)
        token = held.put(household, KIND, saved.file, saved.filename)
        _looked_into(context, household, held, token)
    except SteadingError as error:
        held.drop(token)
        return _page(context, household, error)
    return see(f"/rescue/restore/{token}")


def _looked_into(context: Context, household: str, held: Held, token: str) -> rescue.BackupLog:
    """What an upload holds; what is wrong with it is said by the name that its sender knows."""
    waiting = held.get(token, household)
    return rescue.look_into(context, household, waiting.path, waiting.name)


@router.get("/restore/{token}")
def ask(
    request: Request, context: ContextDep, household: HouseholdDep, held: HeldDep, token: str
) -> Response:
    """What the backup holds, and the one tap that brings it back."""
    try:
        found = _looked_into(context, household, held, token)
    except SteadingError as error:
        return _page(context, household, error)
    return _page(context, household, found=found, address=request.url.path)


@router.post("/restore/{token}")
def bring_back(context: ContextDep, household: HouseholdDep, held: HeldDep, token: str) -> Response:
    """Put the backup in the place of everything; what can be read of it is kept first."""
    try:
        with held.turn:
            if held.finished(token, household) is None:
                waiting = held.get(token, household)
                replacing.restore(context, household, waiting.path, name=waiting.name)
                held.finish(token)
    except SteadingError as error:
        return _page(context, household, error)
    return see("/rescue", "restored-database")
