"""`/areas`: the home divided into areas, from the first rooms picked to the overview one comes back to."""

from collections.abc import Callable
from typing import Annotated

from fastapi import APIRouter, Form, Request, Response

from coach.areas import dividing as division
from coach.areas import overview as service
from coach.areas import setup, turns
from coach.areas.answers import Areas
from coach.errors import Malformed, NotEditable, SteadingError
from coach.ground.ports import Context
from coach.ground.situation import Situation
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.pages.answering import answered
from coach.web.pages.areas.fields import RoomsForm, TurnsForm
from coach.web.pages.ways import see, words
from coach.web.showing import View, show, show_kept

router = APIRouter(prefix="/areas")

MODES = {
    "continuous": "One after the other, a week each",
    "month": "By the weeks of the month",
}
WAYS = {
    "list": "A list for the week",
    "spot": "One short task a day",
    "both": "The list, and a short task a day",
}


def overview(found: Areas) -> dict[str, object]:
    """What the page of all areas is given."""
    return {
        "areas": found,
        "floor": service.floor_of(found),
        "modes": MODES,
        "ways": WAYS,
        "typed": None,
        "new": None,
    }


def _rooms(context: Context, form: RoomsForm) -> dict[str, object]:
    return {"rooms": setup.rooms(context), "form": form}


@router.get("")
def all_areas(
    request: Request, context: ContextDep, household: HouseholdDep, said: str | None = None
) -> Response:
    """The areas, or the rooms to pick from."""
    text = words(said)

    def view(where: Situation) -> View:
        found = service.all_areas_in(where)
        name = "areas/overview.html" if found.areas else "areas/rooms.html"
        shown = overview(found) if found.areas else _rooms(context, RoomsForm())
        return name, {**shown, "said": text, "trouble": None}

    if text is not None:
        return show(request, context, household, view)
    return show_kept(request, context, household, "areas", view)


def _rooms_view(form: RoomsForm) -> Callable[[Situation], View]:
    return lambda where: ("areas/rooms.html", _rooms(where.context, form))


def _overview(**also: object) -> Callable[[Situation], View]:
    """The areas with what a form held that could not be taken; without any, the rooms to pick from."""

    def view(where: Situation) -> View:
        areas = service.all_areas_in(where)
        if not areas.areas:
            return "areas/rooms.html", _rooms(where.context, RoomsForm())
        return "areas/overview.html", overview(areas) | also

    return view


@router.post("/proposal")
def propose(
    request: Request, context: ContextDep, household: HouseholdDep, form: Annotated[RoomsForm, Form()]
) -> Response:
    """A division of the home with these rooms; nothing is kept."""
    try:
        found = setup.propose(context, form.names, form.count)
    except Malformed as error:
        return answered(request, context, household, _rooms_view(form), error=error)
    return show(request, context, household, lambda _: ("areas/proposal.html", {"proposal": found}))


@router.post("/rooms")
def other_rooms(
    request: Request, context: ContextDep, household: HouseholdDep, form: Annotated[RoomsForm, Form()]
) -> Response:
    """Back from a proposal to the rooms, with those picked still picked."""
    return answered(request, context, household, _rooms_view(form))


@router.post("/set-up")
def set_up(
    request: Request, context: ContextDep, household: HouseholdDep, form: Annotated[RoomsForm, Form()]
) -> Response:
    """Divide the home as proposed."""
    try:
        setup.set_up(context, household, form.names, form.count)
    except Malformed as error:
        return answered(request, context, household, _rooms_view(form), error=error)
    except NotEditable as error:
        return refused(request, context, household, error)
    return see("/areas", "divided")


@router.post("/undo")
def undo(
    request: Request, context: ContextDep, household: HouseholdDep, back: Annotated[str, Form()] = ""
) -> Response:
    """Take the last change back."""
    try:
        found = setup.undo(context, household)
    except NotEditable as error:
        return refused(request, context, household, error)
    return see("/areas/weeks" if back == "weeks" and found.areas else "/areas", "undone")


@router.post("/new")
def add(
    request: Request,
    context: ContextDep,
    household: HouseholdDep,
    name: Annotated[str, Form()] = "",
    rooms: Annotated[str, Form()] = "",
) -> Response:
    """Add an area with the starter lists of its rooms, one on each line."""
    try:
        found = division.add_area(context, household, name, rooms.splitlines())
    except Malformed as error:
        view = _overview(new={"name": name, "rooms": rooms})
        return answered(request, context, household, view, error=error)
    return see(f"/areas/{found.areas[-1].area}", "area-changed")


@router.post("/arrange")
def arrange(
    request: Request, context: ContextDep, household: HouseholdDep, form: Annotated[TurnsForm, Form()]
) -> Response:
    """Change how the areas are worked in."""
    try:
        turns.arrange(context, household, form.arrangement())
    except Malformed as error:
        return answered(request, context, household, _overview(typed=form), error=error)
    return see("/areas", "area-changed")


def refused(request: Request, context: ContextDep, household: str, error: SteadingError) -> Response:
    """The overview with what speaks against a change above it."""
    return answered(request, context, household, _overview(), error=error)
