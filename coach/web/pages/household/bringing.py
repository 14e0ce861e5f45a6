"""`/data/home`: a home that was lived elsewhere comes into a household that has just begun."""

from typing import Annotated

from fastapi import APIRouter, File, Request, Response, UploadFile

from coach.errors import FaultyFile, SteadingError
from coach.household import bringing as service
from coach.web.deps import ContextDep, HeldDep, HouseholdDep
from coach.web.navigation import open_places
from coach.web.pages.household.data import sent
from coach.web.pages.ways import see
from coach.web.problems import of_error
from coach.web.rendering import page

router = APIRouter(prefix="/data/home")


@router.get("")
def ask(request: Request, context: ContextDep, household: HouseholdDep) -> Response:
    """The form, and until when it can be used."""
    return _page(request, context, household)


@router.post("")
def take_home(
    request: Request,
    context: ContextDep,
    household: HouseholdDep,
    held: HeldDep,
    home: Annotated[UploadFile | None, File()] = None,
) -> Response:
    """Check a home and hold it, or show its faults beside the form; nothing is changed."""
    try:
        upload = sent(home)
        service.compare_home(context, household, upload.file.read())
    except SteadingError as error:
        return _page(request, context, household, error)
    upload.file.seek(0)
    return see(f"/data/check/{held.put(household, 'home', upload.file, upload.filename or 'home.zip')}")


def _page(
    request: Request, context: ContextDep, household: str, error: SteadingError | None = None
) -> Response:
    found = of_error(error) if error else None
    values = {
        "started": context.store.version(household) is not None,
        "may": service.may_bring(context, household),
        "days": service.BRING_DAYS,
        "trouble": found.detail if found else None,
        "faults": error.faults if isinstance(error, FaultyFile) else (),
        "more_faults": error.more if isinstance(error, FaultyFile) else 0,
    }
    places = open_places(context, household)
    return page(request, "household/bring.html", values, found.status if found else 200, places=places)
