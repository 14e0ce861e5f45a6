"""`/data`: the household's data out, in, backed up, brought back and deleted."""

from dataclasses import replace
from typing import Annotated
from zoneinfo import ZoneInfo

from fastapi import APIRouter, File, Form, Request, Response, UploadFile
from fastapi.responses import FileResponse
from starlette.background import BackgroundTask

from coach.course.direction import isolated
from coach.errors import FaultyFile, Malformed, SteadingError, StoreError
from coach.ground.kept import Kept
from coach.ground.ports import Context, Household
from coach.household import data as service
from coach.household import replacing
from coach.household.answers import Ahead
from coach.household.health import health
from coach.progress.days import FIRST_ZONE, place_of
from coach.web.deps import CallerDep, ContextDep, HeldDep, HouseholdDep, KeeperDep
from coach.web.pages.ways import see, words
from coach.web.pairing import PAIR
from coach.web.problems import of_error
from coach.web.rendering import page
from coach.web.sessions import drop_in_browser
from coach.web.uploads import new_folder, remove_folder, room_in_temporary_files

router = APIRouter(prefix="/data")

CONFIRMATION = "delete"
NO_FILE = "Choose a file first."
BEFORE = {
    "": "Asked for",
    "import": "Made before a log came in",
    "restore": "Made before a backup came in",
    "end": "Made as Steading ended while its database was not in its place",
}
"""Why a copy was made."""

REPLACED = ("brought-in", "brought-home", "restored-database", "put-back")
"""What is said after something took the place of what was there, which can be put back from then on."""


def _page(
    request: Request,
    context: Context,
    household: str,
    error: SteadingError | None = None,
    **values: object,
) -> Response:
    home, (places, ahead) = _home(context, household), _aside(context, household)
    zone = place_of(home.zone if home else FIRST_ZONE)
    # Of a database that does not lie in its place every page tells.
    gone = context.store.trouble()
    kept = [_at_home(one, zone) for one in replacing.kept(context, household)]
    shown = {
        "findings": [one for one in health(context, household).findings if one.text != gone],
        "said": None,
        "ahead": ahead,
        "replaced": False,
        "trouble": of_error(error).detail if error else None,
        "faults": error.faults if isinstance(error, FaultyFile) else (),
        "more_faults": error.more if isinstance(error, FaultyFile) else 0,
        "place_of_trouble": None,
        "confirmation": CONFIRMATION,
        "has_file": context.copies is not None,
        "kept": kept,
        "BEFORE": BEFORE,
        "undo": next((one for one in kept if one.before), None),
        "started": home is not None,
        "seen": home.version if home else 0,
        **values,
    }
    status = of_error(error).status if error else 200
    return page(request, "household/data.html", shown, status, places=places)


def _at_home(kept: Kept, zone: ZoneInfo) -> Kept:
    """A copy with its times as the household's clocks show them."""
    check = replace(kept.check, at=kept.check.at.astimezone(zone)) if kept.check else None
    return replace(kept, at=kept.at.astimezone(zone), check=check)


def _home(context: Context, household: str) -> Household | None:
    """The household; a database that cannot be read is no reason to keep the way to a backup closed."""
    try:
        return context.store.version(household)
    except StoreError:
        return None


def _aside(context: Context, household: str) -> tuple[tuple[str, ...], Ahead | None]:
    """The open pages and what is dated after today, as far as the store can be read."""
    try:
        return service.places_and_ahead(context, household)
    except StoreError:
        return (), None


@router.get("")
def ask(request: Request, context: ContextDep, household: HouseholdDep, said: str | None = None) -> Response:
    """The choices."""
    return _page(request, context, household, said=words(said), replaced=said in REPLACED)


@router.post("/import")
def take_log(
    request: Request,
    context: ContextDep,
    household: HouseholdDep,
    held: HeldDep,
    log: Annotated[UploadFile | None, File()] = None,
) -> Response:
    """Check a log and hold it, or show its faults beside the form; nothing is changed."""
    try:
        upload = sent(log)
        name = upload.filename or "log.csv"
        service.preview(context, household, upload.file.read(), name)
    except SteadingError as error:
        return _page(request, context, household, error, place_of_trouble="import")
    upload.file.seek(0)
    return see(f"/data/check/{held.put(household, 'log', upload.file, name)}")


@router.post("/restore")
def take_backup(
    request: Request,
    context: ContextDep,
    household: HouseholdDep,
    held: HeldDep,
    saved: Annotated[UploadFile | None, File()] = None,
) -> Response:
    """Check a backup and hold it; nothing is changed."""
    token = None
    try:
        upload = sent(saved)
        name = isolated(upload.filename or "backup.db")
        token = held.put(household, "backup", upload.file, name)
        replacing.compare_backup(context, household, held.get(token, household).path, name)
    except SteadingError as error:
        held.drop(token or "")
        return _page(request, context, household, error, place_of_trouble="restore")
    return see(f"/data/check/{token}")


def sent(upload: UploadFile | None) -> UploadFile:
    """The file that was sent.

    Raises:
        Malformed: None was.
    """
    if upload is None or not upload.filename:
        raise Malformed(NO_FILE)
    return upload


@router.get("/backup")
def backup(keeper: KeeperDep) -> Response:
    """A complete copy of the database, which was proved before it is sent."""
    place = new_folder()
    copy = place / "steading-backup.db"
    try:
        with room_in_temporary_files():
            replacing.required(keeper).backup(copy, f"{copy.name} among this machine's temporary files")
    except BaseException:
        remove_folder(place)
        raise
    away = BackgroundTask(remove_folder, place)
    return FileResponse(copy, media_type="application/vnd.sqlite3", filename=copy.name, background=away)


@router.post("/forget")
def forget(
    request: Request,
    context: ContextDep,
    caller: CallerDep,
    held: HeldDep,
    confirmation: Annotated[str, Form()] = "",
) -> Response:
    """Delete everything, if the word was typed; nobody is let in after it but the machine itself."""
    household = caller.household
    if confirmation.strip().lower() != CONFIRMATION:
        error = Malformed(f"Nothing was deleted. To delete everything, type the word {CONFIRMATION}.")
        return _page(request, context, household, error, place_of_trouble="forget")
    service.forget(context, household)
    held.clear(household)
    if caller.session is None:
        return see("/start")
    answer = see(PAIR)
    drop_in_browser(answer, request.url.scheme)
    return answer
