"""`/data/check` and `/data/copies`: what would be lost and gained, and one tap that does it."""

from typing import Annotated

from fastapi import APIRouter, Form, Request, Response

from coach.errors import NotEditable
from coach.ground.ports import Context
from coach.household import bringing, data, replacing
from coach.household.answers import Comparison
from coach.web.deps import ContextDep, HeldDep, HouseholdDep
from coach.web.held import Held, Upload
from coach.web.navigation import open_places
from coach.web.pages.ways import see
from coach.web.problems import of_error
from coach.web.rendering import page

router = APIRouter(prefix="/data")

Seen = Annotated[int, Form(ge=0)]
KINDS = {
    "log": ("Bring this log in?", "Bring this log in", "brought-in"),
    "backup": ("Go back to this backup?", "Restore this backup", "restored-database"),
    "home": ("Bring this home along?", "Bring this home along", "brought-home"),
    "copy": ("Put back what was there before?", "Put back what was there before", "put-back"),
}


def _shown(
    request: Request,
    context: Context,
    household: str,
    kind: str,
    found: Comparison,
    error: NotEditable | None = None,
) -> Response:
    title, button, _ = KINDS[kind]
    values = {
        "kind": kind,
        "title": title,
        "button": button,
        "found": found,
        "trouble": str(error) if error else None,
        "address": request.url.path,
    }
    status = of_error(error).status if error else 200
    return page(request, "household/replacing.html", values, status, places=open_places(context, household))


def _compared(context: Context, household: str, upload: Upload) -> Comparison:
    if upload.kind == "backup":
        return replacing.compare_backup(context, household, upload.path, upload.name)
    if upload.kind == "home":
        return bringing.compare_home(context, household, upload.path.read_bytes())
    return data.preview(context, household, upload.path.read_bytes(), upload.name)


@router.get("/check/{token}")
def look(
    request: Request, context: ContextDep, household: HouseholdDep, held: HeldDep, token: str
) -> Response:
    """What an upload holds beside what is here."""
    upload = held.get(token, household)
    found = _compared(context, household, upload)
    return _shown(request, context, household, upload.kind, found)


@router.post("/check/{token}")
def confirm(
    request: Request,
    context: ContextDep,
    household: HouseholdDep,
    held: HeldDep,
    token: str,
    seen: Seen,
) -> Response:
    """Put an upload in the place of what is here, if that is still what was looked at."""
    with held.turn:
        if done := held.finished(token, household):
            return _back(done.kind, seen)
        return _confirmed(request, context, held, held.get(token, household), token, seen)


def _confirmed(
    request: Request, context: Context, held: Held, upload: Upload, token: str, seen: int
) -> Response:
    household = upload.household
    try:
        if upload.kind == "backup":
            replacing.restore(context, household, upload.path, seen, upload.name)
        elif upload.kind == "home":
            bringing.bring_along(context, household, upload.path.read_bytes(), seen)
        else:
            data.bring_in(context, household, upload.path.read_bytes(), upload.name, seen)
    except NotEditable as error:
        found = _compared(context, household, upload)
        return _shown(request, context, household, upload.kind, found, error)
    held.finish(token)
    return _back(upload.kind, seen)


def _back(kind: str, seen: int) -> Response:
    """Where one goes on; whoever had nothing here before goes on to today."""
    return see("/data", KINDS[kind][2]) if seen else see("/today")


@router.post("/check/{token}/leave")
def leave(context: ContextDep, household: HouseholdDep, held: HeldDep, token: str) -> Response:
    """Let go of an upload and leave everything as it is."""
    held.drop(token)
    return see("/data") if context.store.version(household) else see("/start")


@router.get("/copies/{name}")
def look_back(request: Request, context: ContextDep, household: HouseholdDep, name: str) -> Response:
    """What was kept beside what is here."""
    found = replacing.compare_kept(context, household, name)
    return _shown(request, context, household, "copy", found)


@router.post("/copies/{name}")
def go_back(
    request: Request, context: ContextDep, household: HouseholdDep, held: HeldDep, name: str, seen: Seen
) -> Response:
    """Put what was kept in the place of what is here, if that is still what was looked at."""
    try:
        with held.turn:
            replacing.put_back(context, household, name, seen)
    except NotEditable as error:
        found = replacing.compare_kept(context, household, name)
        return _shown(request, context, household, "copy", found, error)
    return see("/data", KINDS["copy"][2])
