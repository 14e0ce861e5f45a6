"""`/areas/{area}`: one area with its lists, and what can be changed about the whole of it."""

from collections.abc import Callable, Mapping
from contextlib import suppress
from typing import Annotated, Literal

from fastapi import APIRouter, Form, Path, Request, Response

from coach.areas import dividing as division
from coach.areas import overview as service
from coach.areas import rooms as area_rooms
from coach.areas import sorting
from coach.areas.answers import Areas
from coach.areas.rooms import NamedRoom
from coach.errors import Malformed, NotEditable, Repeated, SteadingError, Unknown
from coach.ground.ports import Context
from coach.ground.situation import Situation
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.pages.answering import answered, clashing
from coach.web.pages.areas.fields import NameForm, RoomForm, SortForm, SplitForm
from coach.web.pages.areas.overview import ORDERED, changed, refused
from coach.web.pages.areas.shown import (
    area_content,
    by_use,
    change_to_undo,
    name_fields,
    name_shown,
    sort_fields,
    sort_shown,
)
from coach.web.pages.once import OnceDep
from coach.web.pages.seen import Clash, Shown, Values, fields_of, holding, put, seen_text, with_typed
from coach.web.pages.ways import see, words
from coach.web.showing import View

router = APIRouter(prefix="/areas")

AreaId = Annotated[str, Path(max_length=100)]
Typed = Annotated[str, Form()]
Direction = Literal["earlier", "later"]
PLACES: dict[Direction, int] = {"earlier": -1, "later": 1}
NOT_AS_SHOWN = (
    "Somebody has changed this area since the page was shown, so nothing was done. "
    "This is how it stands now; look at it, and choose again."
)


def area_view(
    area: str, typed: object = None, name: Shown[NameForm] | None = None, *, suggesting: bool = False
) -> Callable[[Situation], View]:
    """The page of an area.

    Args:
        area: Its id.
        typed: What a form held that could not be taken.
        name: The form of its name, if that could not be.
        suggesting: Whether its suggestions stand open.
    """

    def view(where: Situation) -> View:
        areas = service.all_areas_in(where)
        found = service.area_among(areas, area)
        return "areas/one.html", {
            "area": found,
            "areas": areas,
            "kinds": by_use(area_rooms.rooms(where.context)),
            "suggesting": suggesting,
            "typed": typed,
            "name": name or name_shown(found),
            "sort": sort_shown(found),
            "content_seen": seen_text(area_content(found)),
            "undo_seen": seen_text(change_to_undo(where)),
        }

    return view


def _split_view(area: str, form: SplitForm) -> Callable[[Situation], View]:
    def view(where: Situation) -> View:
        found = service.area_among(service.all_areas_in(where), area)
        seen = seen_text(area_content(found))
        return "areas/split.html", {"area": found, "form": form, "content_seen": seen}

    return view


def asked_again(
    request: Request,
    context: Context,
    household: str,
    view: Callable[[Situation], View],
    error: SteadingError,
    typed: Mapping[str, str],
) -> Response:
    """The page with what speaks against a form.

    Raises:
        Unknown: What the page is about is gone; the text tells what was typed, by what the fields are called.
    """
    try:
        return answered(request, context, household, view, error=error)
    except Unknown as gone:
        raise with_typed(gone, typed) from error


def as_shown(context: Context, area: str, seen: str) -> Context:
    """The context for a step that is taken only while the area's page shows what it showed."""

    def now(where: Situation) -> Values:
        return area_content(service.area_among(service.all_areas_in(where), area))

    return holding(context, seen, now, NOT_AS_SHOWN)


@router.get("/{area}")
def one(
    request: Request, context: ContextDep, household: HouseholdDep, area: AreaId, said: str | None = None
) -> Response:
    """An area with its lists."""
    view = area_view(area, suggesting=(said or "").startswith("suggestion"))
    return answered(request, context, household, view, words(said))


@router.post("/{area}")
def rename(
    request: Request,
    context: ContextDep,
    household: HouseholdDep,
    area: AreaId,
    form: Annotated[NameForm, Form()],
) -> Response:
    """Give it another name."""

    def write(guarded: Context, values: Values) -> None:
        division.change_area(guarded, household, area, {"name": values["name"]})

    try:
        put(context, household, form, fields_of(form), name_fields(area), write)
    except Clash as clash:
        both = clash.shown(NameForm.model_validate(clash.merged))
        return clashing(request, context, household, area_view(area, name=both))
    except (Malformed, NotEditable) as error:
        typed = Shown(form, form.seen, status=422)
        view = area_view(area, name=typed)
        return asked_again(request, context, household, view, error, {"Name": form.name})
    return see(f"/areas/{area}", "area-changed")


@router.post("/{area}/sort-first")
def sort_first(
    request: Request,
    context: ContextDep,
    household: HouseholdDep,
    area: AreaId,
    form: Annotated[SortForm, Form()],
) -> Response:
    """Sort it out first, or go back to its tasks."""

    def write(guarded: Context, values: Values) -> None:
        sorting.sort_first(guarded, household, area, first=values["first"] == "yes")

    try:
        put(context, household, form, fields_of(form), sort_fields(area), write)
    except (Malformed, NotEditable) as error:
        return answered(request, context, household, area_view(area), error=error)
    return see(f"/areas/{area}", "area-changed")


@router.post("/{area}/place")
def place(
    context: OnceDep, household: HouseholdDep, area: AreaId, to: Annotated[Direction, Form()]
) -> Response:
    """Move it one place earlier or later in the order."""
    with suppress(Repeated):
        division.move_area(context, household, area, PLACES[to])
    return see("/areas", ORDERED)


@router.post("/{area}/rooms")
def add_room(
    request: Request,
    context: OnceDep,
    household: HouseholdDep,
    area: AreaId,
    form: Annotated[RoomForm, Form()],
) -> Response:
    """Add a room with the starter lists of its kind."""

    def step() -> Areas:
        return division.add_room(context, household, area, NamedRoom(form.room, form.kind))

    try:
        return changed(context, household, area, step)
    except (Malformed, Unknown) as error:
        view = area_view(area, {"room": form.room, "kind": form.kind})
        return asked_again(request, context, household, view, error, {"One more room": form.room})


@router.post("/{area}/rooms/remove")
def remove_room(
    request: Request,
    context: OnceDep,
    household: HouseholdDep,
    area: AreaId,
    room: Typed = "",
    seen: Typed = "",
) -> Response:
    """Take a room out, with the tasks that name it."""

    def step() -> Areas:
        return division.remove_room(as_shown(context, area, seen), household, area, room)

    try:
        return changed(context, household, area, step)
    except NotEditable as error:
        return answered(request, context, household, area_view(area), error=error)


@router.post("/{area}/merge")
def merge(
    request: Request, context: OnceDep, household: HouseholdDep, area: AreaId, other: Typed = ""
) -> Response:
    """Take another area in."""

    def step() -> Areas:
        return division.merge_areas(context, household, area, other)

    try:
        return changed(context, household, area, step)
    except SteadingError as error:
        return answered(request, context, household, area_view(area), error=error)


@router.get("/{area}/split")
def ask_split(request: Request, context: ContextDep, household: HouseholdDep, area: AreaId) -> Response:
    """What is to go over to a new area."""
    return answered(request, context, household, _split_view(area, SplitForm()))


@router.post("/{area}/split")
def split(
    request: Request,
    context: OnceDep,
    household: HouseholdDep,
    area: AreaId,
    form: Annotated[SplitForm, Form()],
) -> Response:
    """Make a new area of it, right after this one."""
    guarded = as_shown(context, area, form.seen)
    try:
        with suppress(Repeated):
            division.split_area(guarded, household, area, form.name, form.room, form.task)
    except (Malformed, Unknown, NotEditable) as error:
        view = _split_view(area, form)
        return asked_again(request, context, household, view, error, {"Name of the new area": form.name})
    return see("/areas", "area-changed")


@router.post("/{area}/remove")
def remove(
    request: Request, context: OnceDep, household: HouseholdDep, area: AreaId, seen: Typed = ""
) -> Response:
    """Take the area out; the last one stays."""
    try:
        with suppress(Repeated):
            division.remove_area(as_shown(context, area, seen), household, area)
    except Malformed as error:
        return refused(request, context, household, error)
    except NotEditable as error:
        return answered(request, context, household, area_view(area), error=error)
    return see("/areas", "area-changed")
