"""`/areas`: the home divided into areas, from the first rooms picked to the overview one comes back to."""

from collections.abc import Callable
from contextlib import suppress
from typing import Annotated

from fastapi import APIRouter, Form, Request, Response

from coach.areas import dividing as division
from coach.areas import overview as service
from coach.areas import rooms as area_rooms
from coach.areas import setup, turns
from coach.areas.answers import Areas, Proposal
from coach.areas.offers import rooms_first_for
from coach.errors import Malformed, NotEditable, Repeated, SteadingError, Unknown
from coach.ground.faults import Unfit
from coach.ground.ports import Context
from coach.ground.situation import Situation
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.pages.answering import answered, clashing
from coach.web.pages.areas.fields import RoomsForm, TurnsForm
from coach.web.pages.areas.shown import (
    MODES,
    WAYS,
    by_use,
    change_to_undo,
    turns_fields,
    turns_form,
    turns_shown,
    turns_values,
)
from coach.web.pages.areas.week import weeks_view
from coach.web.pages.once import OnceDep
from coach.web.pages.seen import Clash, Shown, Values, holding, put, seen_text
from coach.web.pages.ways import see, words
from coach.web.showing import View, show, show_kept

router = APIRouter(prefix="/areas")

Typed = Annotated[str, Form()]
NOT_UNDONE = (
    "The areas were changed since this page was shown, so nothing was taken back. "
    "Below stands what “Take it back” would take back now."
)

ORDERED = "area-moved"
"""What is said after an area was moved, while the order stays open for the next move."""


def overview(where: Situation, found: Areas) -> dict[str, object]:
    """What the page of all areas is given."""
    return {
        "areas": found,
        "floor": service.floor_of(found),
        "modes": MODES,
        "ways": WAYS,
        "turns": turns_shown(found),
        "turns_now": turns_shown(found),
        "undo_seen": seen_text(change_to_undo(where)),
        "more_minutes": service.more_minutes_in(where),
        "ordering": False,
        "new": None,
    }


def _rooms(where: Situation, form: RoomsForm) -> dict[str, object]:
    kinds = by_use(area_rooms.rooms(where.context))
    return {"kinds": kinds, "form": form, "asked_by": rooms_first_for(where)}


@router.get("")
def all_areas(
    request: Request, context: ContextDep, household: HouseholdDep, said: str | None = None
) -> Response:
    """The areas, or the rooms to pick from."""
    text = words(said)

    def view(where: Situation) -> View:
        name, shown = _overview()(where)
        return name, {**shown, "said": text, "trouble": None, "ordering": said == ORDERED}

    if text is not None:
        return show(request, context, household, view)
    return show_kept(request, context, household, "areas", view)


def _rooms_view(form: RoomsForm) -> Callable[[Situation], View]:
    return lambda where: ("areas/rooms.html", _rooms(where, form))


def _overview(**also: object) -> Callable[[Situation], View]:
    """The areas with what a form held that could not be taken; without any, the rooms to pick from."""

    def view(where: Situation) -> View:
        areas = service.all_areas_in(where)
        if not areas.areas:
            return "areas/rooms.html", _rooms(where, RoomsForm())
        return "areas/overview.html", overview(where, areas) | also

    return view


@router.post("/proposal")
def propose(
    request: Request, context: ContextDep, household: HouseholdDep, form: Annotated[RoomsForm, Form()]
) -> Response:
    """A division of the home with these rooms, or what they are; nothing is kept."""
    try:
        found = setup.propose(context, form.names, form.count, form.minutes_a_week)
    except (Malformed, Unknown) as error:
        return answered(request, context, household, _rooms_view(form), error=error)
    return show(request, context, household, lambda where: _asked_or_proposed(where, form, found))


def _asked_or_proposed(where: Situation, form: RoomsForm, found: Proposal) -> View:
    """The proposal, or first the question what kinds of rooms those are that nobody knows."""
    shown = {"proposal": found, "form": form, "other_minutes": service.more_minutes(found.minutes_a_week)}
    if found.unknown:
        return "areas/kinds.html", {**shown, "kinds": by_use(area_rooms.rooms(where.context))}
    return "areas/proposal.html", shown


@router.post("/rooms")
def other_rooms(
    request: Request, context: ContextDep, household: HouseholdDep, form: Annotated[RoomsForm, Form()]
) -> Response:
    """Back from a proposal to the rooms, with those picked still picked."""
    return answered(request, context, household, _rooms_view(form))


@router.post("/set-up")
def set_up(
    request: Request, context: OnceDep, household: HouseholdDep, form: Annotated[RoomsForm, Form()]
) -> Response:
    """Divide the home as proposed."""
    try:
        with suppress(Repeated):
            setup.set_up(context, household, form.names, form.count, form.minutes_a_week)
    except Unfit:
        return propose(request, context, household, form)
    except (Malformed, Unknown) as error:
        return answered(request, context, household, _rooms_view(form), error=error)
    except NotEditable as error:
        return refused(request, context, household, error)
    return see("/areas", "divided")


@router.post("/undo")
def undo(
    request: Request, context: OnceDep, household: HouseholdDep, back: Typed = "", seen: Typed = ""
) -> Response:
    """Take the last change back: the one that was shown, and none that came since."""
    guarded = holding(context, seen, change_to_undo, NOT_UNDONE)
    try:
        found = once_done(context, household, lambda: setup.undo(guarded, household))
    except NotEditable as error:
        return answered(request, context, household, _undo_view(back), error=error)
    return see("/areas/weeks" if back == "weeks" and found.areas else "/areas", "undone")


def _undo_view(back: str) -> Callable[[Situation], View]:
    """The page on which *Take it back* was pressed, or the one with all areas."""

    def view(where: Situation) -> View:
        with suppress(Unknown):
            if back == "weeks":
                return weeks_view(where)
        return _overview()(where)

    return view


@router.post("/new")
def add(
    request: Request, context: OnceDep, household: HouseholdDep, name: Typed = "", rooms: Typed = ""
) -> Response:
    """Add an area with the starter lists of its rooms, one on each line."""
    try:
        found = division.add_area(context, household, name, rooms.splitlines())
    except Repeated:
        return _added_before(context, household, name)
    except (Malformed, Unknown) as error:
        view = _overview(new={"name": name, "rooms": rooms})
        return answered(request, context, household, view, error=error)
    return see(f"/areas/{found.areas[-1].area}", "area-changed")


def _added_before(context: Context, household: str, name: str) -> Response:
    """The same way as at the first tap, unless the area has another name by now or is gone."""
    plain = " ".join(name.split())
    for area in reversed(service.all_areas(context, household).areas):
        if area.name == plain:
            return see(f"/areas/{area.area}", "area-changed")
    return see("/areas", "area-changed")


@router.post("/arrange")
def arrange(
    request: Request, context: ContextDep, household: HouseholdDep, form: Annotated[TurnsForm, Form()]
) -> Response:
    """Change how the areas are worked in."""

    def write(guarded: Context, values: Values) -> None:
        turns.arrange(guarded, household, turns_form(values, form.first).arrangement())

    try:
        put(context, household, form, turns_values(form), turns_fields(), write)
    except Clash as clash:
        both = clash.shown(_of_clash(clash, form))
        return clashing(request, context, household, _overview(turns=both))
    except (Malformed, Unknown, NotEditable) as error:
        typed = Shown(form, form.seen, status=422)
        return answered(request, context, household, _overview(turns=typed), error=error)
    return see("/areas", "area-changed")


def _of_clash(clash: Clash, form: TurnsForm) -> TurnsForm:
    return turns_form(clash.merged, form.first, clash.now["first"])


def refused(request: Request, context: Context, household: str, error: SteadingError) -> Response:
    """The overview with what speaks against a change above it."""
    return answered(request, context, household, _overview(), error=error)


def once_done(context: Context, household: str, step: Callable[[], Areas]) -> Areas:
    """The areas after a step; if it was a second tap, as they stand by now."""
    try:
        return step()
    except Repeated:
        return service.all_areas(context, household)


def changed(
    context: Context, household: str, area: str, step: Callable[[], Areas], said: str = "area-changed"
) -> Response:
    """The way to the area that a step changed; to all of them, if it is gone when the step comes again."""
    found = once_done(context, household, step)
    stands = any(one.area == area for one in found.areas)
    return see(f"/areas/{area}" if stands else "/areas", said)
