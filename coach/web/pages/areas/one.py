"""`/areas/{area}`: one area with its lists, and what can be changed about the whole of it."""

from collections.abc import Callable
from typing import Annotated, Literal

from fastapi import APIRouter, Form, Path, Request, Response

from coach.areas import dividing as division
from coach.areas import overview as service
from coach.errors import Malformed, SteadingError
from coach.ground.situation import Situation
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.pages.answering import answered
from coach.web.pages.areas.fields import SplitForm
from coach.web.pages.areas.overview import refused
from coach.web.pages.ways import see, words
from coach.web.showing import View

router = APIRouter(prefix="/areas")

AreaId = Annotated[str, Path(max_length=100)]
Typed = Annotated[str, Form()]
Direction = Literal["earlier", "later"]
PLACES: dict[Direction, int] = {"earlier": -1, "later": 1}


def area_view(area: str, typed: object = None) -> Callable[[Situation], View]:
    """The page of an area; `typed` is what a form held that could not be taken."""

    def view(where: Situation) -> View:
        areas = service.all_areas_in(where)
        return "areas/one.html", {"area": service.area_among(areas, area), "areas": areas, "typed": typed}

    return view


def _split_view(area: str, form: SplitForm) -> Callable[[Situation], View]:
    return lambda where: (
        "areas/split.html",
        {"area": service.area_among(service.all_areas_in(where), area), "form": form},
    )


@router.get("/{area}")
def one(
    request: Request, context: ContextDep, household: HouseholdDep, area: AreaId, said: str | None = None
) -> Response:
    """An area with its lists."""
    return answered(request, context, household, area_view(area), words(said))


@router.post("/{area}")
def rename(
    request: Request, context: ContextDep, household: HouseholdDep, area: AreaId, name: Typed = ""
) -> Response:
    """Give it another name."""
    try:
        division.change_area(context, household, area, {"name": name})
    except Malformed as error:
        return answered(request, context, household, area_view(area, {"name": name}), error=error)
    return see(f"/areas/{area}", "area-changed")


@router.post("/{area}/place")
def place(
    context: ContextDep, household: HouseholdDep, area: AreaId, to: Annotated[Direction, Form()]
) -> Response:
    """Move it one place earlier or later in the order."""
    position = service.one_area(context, household, area).number - 1
    division.change_area(context, household, area, {"position": position + PLACES[to]})
    return see("/areas", "area-changed")


@router.post("/{area}/rooms")
def add_room(
    request: Request, context: ContextDep, household: HouseholdDep, area: AreaId, room: Typed = ""
) -> Response:
    """Add a room with the starter lists of its kind."""
    try:
        division.add_room(context, household, area, room)
    except Malformed as error:
        return answered(request, context, household, area_view(area, {"room": room}), error=error)
    return see(f"/areas/{area}", "area-changed")


@router.post("/{area}/rooms/remove")
def remove_room(context: ContextDep, household: HouseholdDep, area: AreaId, room: Typed = "") -> Response:
    """Take a room out, with the tasks that name it."""
    division.remove_room(context, household, area, room)
    return see(f"/areas/{area}", "area-changed")


@router.post("/{area}/merge")
def merge(
    request: Request, context: ContextDep, household: HouseholdDep, area: AreaId, other: Typed = ""
) -> Response:
    """Take another area in."""
    try:
        division.merge_areas(context, household, area, other)
    except SteadingError as error:
        return answered(request, context, household, area_view(area), error=error)
    return see(f"/areas/{area}", "area-changed")


@router.get("/{area}/split")
def ask_split(request: Request, context: ContextDep, household: HouseholdDep, area: AreaId) -> Response:
    """What is to go over to a new area."""
    return answered(request, context, household, _split_view(area, SplitForm()))


@router.post("/{area}/split")
def split(
    request: Request,
    context: ContextDep,
    household: HouseholdDep,
    area: AreaId,
    form: Annotated[SplitForm, Form()],
) -> Response:
    """Make a new area of it, right after this one."""
    try:
        division.split_area(context, household, area, form.name, form.room, form.task)
    except Malformed as error:
        return answered(request, context, household, _split_view(area, form), error=error)
    return see("/areas", "area-changed")


@router.post("/{area}/remove")
def remove(request: Request, context: ContextDep, household: HouseholdDep, area: AreaId) -> Response:
    """Take the area out; the last one stays."""
    try:
        division.remove_area(context, household, area)
    except Malformed as error:
        return refused(request, context, household, error)
    return see("/areas", "area-changed")
