"""`/data`: the household's data out, in, backed up, restored and deleted."""

import shutil
import tempfile
from pathlib import Path
from typing import Annotated

from fastapi import APIRouter, File, Form, Request, Response, UploadFile
from fastapi.responses import FileResponse
from starlette.background import BackgroundTask

from coach.errors import FaultyFile, Malformed, SteadingError, Unknown
from coach.services import data as service
from coach.services.ports import Context
from coach.web.api.log import text_of
from coach.web.deps import ContextDep, HouseholdDep, Keeper, KeeperDep
from coach.web.navigation import open_places
from coach.web.pages.ways import see, words
from coach.web.problems import of_error
from coach.web.rendering import page

router = APIRouter(prefix="/data")

CONFIRMATION = "delete"
NO_FILE = "Choose a file first."


def _page(
    request: Request,
    context: Context,
    household: str,
    keeper: Keeper | None,
    error: SteadingError | None = None,
    **values: object,
) -> Response:
    shown = {
        "said": None,
        "imported": None,
        "trouble": None,
        "faults": (),
        "place_of_trouble": None,
        **values,
    }
    shown["confirmation"] = CONFIRMATION
    shown["has_file"] = keeper is not None
    if isinstance(error, FaultyFile):
        shown["faults"] = error.faults
    if error is not None:
        shown["trouble"] = of_error(error).detail
    status = of_error(error).status if error else 200
    return page(request, "data.html", shown, status, places=open_places(context, household))


@router.get("")
def ask(
    request: Request,
    context: ContextDep,
    household: HouseholdDep,
    keeper: KeeperDep,
    said: str | None = None,
) -> Response:
    """The choices."""
    return _page(request, context, household, keeper, said=words(said))


@router.post("/import")
def load(
    request: Request,
    context: ContextDep,
    household: HouseholdDep,
    keeper: KeeperDep,
    log: Annotated[UploadFile | None, File()] = None,
) -> Response:
    """Put a log in the place of the own one, all rows or none, with the faults shown beside the form."""
    try:
        imported = service.load(context, household, text_of(_content(log)))
    except SteadingError as error:
        return _page(request, context, household, keeper, error, place_of_trouble="import")
    return _page(request, context, household, keeper, imported=imported)


def _content(log: UploadFile | None) -> bytes:
    if log is None or not log.filename:
        raise Malformed(NO_FILE)
    return log.file.read()


@router.get("/backup")
def backup(keeper: KeeperDep) -> Response:
    """A complete copy of the database."""
    folder = Path(tempfile.mkdtemp(prefix="steading-"))
    copy = folder / "steading-backup.db"
    try:
        _required(keeper).backup(copy)
    except BaseException:
        shutil.rmtree(folder)
        raise
    away = BackgroundTask(shutil.rmtree, folder)
    return FileResponse(copy, media_type="application/vnd.sqlite3", filename=copy.name, background=away)


@router.post("/restore")
def restore(
    request: Request,
    context: ContextDep,
    household: HouseholdDep,
    keeper: KeeperDep,
    saved: Annotated[UploadFile | None, File()] = None,
) -> Response:
    """Put a backup in the place of the database."""
    try:
        with tempfile.TemporaryDirectory(prefix="steading-") as folder:
            source = Path(folder) / "upload.db"
            _save(saved, source)
            _required(keeper).restore(source)
    except SteadingError as error:
        return _page(request, context, household, keeper, error, place_of_trouble="restore")
    return see("/data", "restored-database")


def _save(saved: UploadFile | None, to: Path) -> None:
    if saved is None or not saved.filename:
        raise Malformed(NO_FILE)
    with to.open("wb") as file:
        shutil.copyfileobj(saved.file, file)


def _required(keeper: Keeper | None) -> Keeper:
    if keeper is None:
        raise Unknown("This database is kept by a server; use the server's own tools to back it up.")
    return keeper


@router.post("/forget")
def forget(
    request: Request,
    context: ContextDep,
    household: HouseholdDep,
    keeper: KeeperDep,
    confirmation: Annotated[str, Form()] = "",
) -> Response:
    """Delete everything, if the word was typed."""
    if confirmation.strip().lower() != CONFIRMATION:
        error = Malformed(f"Nothing was deleted. To delete everything, type the word {CONFIRMATION}.")
        return _page(request, context, household, keeper, error, place_of_trouble="forget")
    service.forget(context, household)
    return see("/start")
