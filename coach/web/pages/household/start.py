"""`/` and `/start`: three questions, and one begins."""

from collections.abc import Iterable
from contextlib import suppress
from typing import Annotated

from fastapi import APIRouter, Form, Request, Response
from pydantic import BaseModel, ConfigDict

from coach.errors import Malformed, Repeated, Unknown
from coach.household import start as service
from coach.household.answers import Start
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.pages.once import OnceDep
from coach.web.pages.ways import see
from coach.web.rendering import page

router = APIRouter()

OTHER = "Other"


class StartForm(BaseModel):
    """The three answers."""

    model_config = ConfigDict(extra="forbid")

    first: str = ""
    zone: str = ""
    day_starts: str = "03:00"
    pace: str = "standard"
    request_id: str = ""


def regions(zones: Iterable[str]) -> dict[str, list[tuple[str, str]]]:
    """Time zones by the part before the first slash, each with the name people look for."""
    found: dict[str, list[tuple[str, str]]] = {}
    for zone in sorted(zones):
        region, _, place = zone.partition("/")
        found.setdefault(region if place else OTHER, []).append((zone, (place or zone).replace("_", " ")))
    return dict(sorted(found.items(), key=lambda item: (item[0] == OTHER, item[0])))


def _page(request: Request, offered: Start, filled: StartForm, trouble: str | None = None) -> Response:
    values = {"start": offered, "regions": regions(offered.zones), "filled": filled}
    values["has_file"] = request.app.state.context.copies is not None
    return page(request, "household/start.html", {**values, "trouble": trouble}, 422 if trouble else 200)


@router.get("/")
def door() -> Response:
    """The address one types: today's page, which leads to the start if there has been none."""
    return see("/today")


@router.get("/start")
def ask(request: Request, context: ContextDep, household: HouseholdDep) -> Response:
    """The three questions."""
    offered = service.choices(context, household)
    if offered.started:
        return see("/today")
    return _page(request, offered, StartForm())


@router.post("/start")
def begin(
    request: Request, context: OnceDep, household: HouseholdDep, form: Annotated[StartForm, Form()]
) -> Response:
    """Begin; what cannot be read is asked again, with the other answers kept."""
    trouble = None if form.zone else "Choose your time zone."
    try:
        if trouble is None:
            with suppress(Repeated):
                service.start(context, household, form.first, form.zone, form.day_starts, form.pace)
    except (Malformed, Unknown) as error:
        trouble = str(error)
    if trouble is not None:
        return _page(request, service.choices(context, household), form, trouble)
    return see("/today")
