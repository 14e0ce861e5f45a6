"""`/dinner/favourites`: dishes that are kept, changed, and put on dates."""

from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import date
from typing import Annotated

from fastapi import APIRouter, Form, Path, Request, Response

from coach.errors import Malformed, NotEditable, Repeated, Unknown
from coach.ground.faults import Unfit
from coach.ground.ports import Context
from coach.ground.situation import Situation
from coach.ground.wording import long_date
from coach.kitchen import favourites as service
from coach.kitchen.dinners import TypedDinner
from coach.kitchen.dishes import TypedDish
from coach.kitchen.planning import Entry, Replanned, plan_week
from coach.progress.days import iso_date
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.pages.kitchen.form import (
    DISH_LABELS,
    KINDS,
    Fields,
    dinner_words,
    dish_fields,
    dish_in,
    dish_of_values,
    dish_values,
    dish_words,
    typed_dinner,
    typed_favourite,
)
from coach.web.pages.once import OnceDep
from coach.web.pages.seen import CHANGED_SINCE, Both, Clash, SeenForm, Shown, Values, holding, seen_text
from coach.web.pages.seen import Fields as JoinedFields
from coach.web.pages.seen import put as put_joined
from coach.web.pages.sent import Sent, text_in
from coach.web.pages.ways import see, words
from coach.web.showing import View, show

router = APIRouter(prefix="/dinner/favourites")

Id = Annotated[str, Path(pattern=r"^[a-z0-9-]{1,80}$")]
# No id of a favourite holds an underscore.
NEW = "new_dish"
UNSAVED = "Nothing has been saved yet. See the fields that are marked."


class PutForm(SeenForm):
    """A date to put a favourite on; `seen` is what was shown to be planned for it (`DinnerDay.seen`)."""

    on: str = ""


@dataclass(frozen=True, slots=True)
class Typed:
    """What the page shows beside the favourites as they are.

    Attributes:
        sent: The one that was sent, as it was typed.
        seen: What its form carries.
        both: What somebody else has changed of it, too.
        puts: The favourite to be put on a date that has a dinner by now.
    """

    sent: Fields | None = None
    seen: str = ""
    both: Sequence[Both] = ()
    puts: tuple[str, PutForm, Replanned] | None = None
    said: str | None = None
    trouble: str | None = None
    status: int = 200


def _page(request: Request, context: Context, household: str, typed: Typed) -> Response:
    """All of them; the one that was sent is shown as it was typed."""
    sent = typed.sent

    def view(where: Situation) -> View:
        found = service.favourites_in(where).favourites
        dishes = {one.id: typed_favourite(one) for one in found}
        forms = {id_: dish_fields(id_, dish) for id_, dish in dishes.items()}
        forms[NEW] = dish_fields(NEW, TypedDish())
        seen = {id_: seen_text(dish_values(dish)) for id_, dish in dishes.items()}
        if sent is not None:
            forms[sent.place], seen[sent.place] = sent, typed.seen
        values = {
            "favourites": found,
            "forms": forms,
            "seen": seen,
            "both": typed.both,
            "puts": _puts(typed, dishes),
            "put_twice": typed.puts is not None,
            "kinds": KINDS,
            "sent": sent and sent.place,
        }
        return "kitchen/favourites.html", {**values, "said": typed.said, "trouble": typed.trouble}

    return show(request, context, household, view, typed.status)


def _puts(typed: Typed, dishes: Mapping[str, TypedDish]) -> dict[str, Shown[PutForm]]:
    """The forms that put favourites on dates; one has a date that somebody else has planned meanwhile."""
    forms = {id_: Shown(PutForm(), "") for id_ in dishes}
    if typed.puts and typed.puts[0] in dishes:
        favourite, form, replanned = typed.puts
        [(on, day)] = replanned.days.items()
        mine = dinner_words(TypedDinner(dishes[favourite]))
        both = [Both(on.isoformat(), long_date(on), dinner_words(typed_dinner(day.dinner)), mine)]
        forms[favourite] = Shown(form, day.seen, both)
    return forms


@router.get("")
def favourites(
    request: Request, context: ContextDep, household: HouseholdDep, said: str | None = None
) -> Response:
    """All of them."""
    return _page(request, context, household, Typed(said=words(said)))


@router.post("")
def keep(request: Request, context: OnceDep, household: HouseholdDep, form: Sent) -> Response:
    """Keep a new dish, or change one; what cannot be used is asked again with everything kept."""
    place = text_in(form, "favourite") or NEW
    mine = dish_values(dish_in(form, place))
    taken = [name for name in form.getlist("take") if isinstance(name, str)]
    sent = SeenForm(seen=text_in(form, "seen"), take=taken)
    try:
        with suppress(Repeated):
            _keep(context, household, place, sent, mine)
    except Clash as clash:
        fields = dish_fields(place, dish_of_values(clash.merged))
        again = Typed(fields, seen_text(clash.now), clash.both, status=409)
        return _page(request, context, household, again)
    except Unfit as error:
        faults = tuple(fault.within(place) for fault in error.faults)
        fields = dish_fields(place, dish_of_values(mine), faults)
        return _page(request, context, household, Typed(fields, sent.seen, trouble=UNSAVED, status=422))
    except NotEditable as error:
        fields = dish_fields(place, dish_of_values(mine))
        return _page(request, context, household, Typed(fields, sent.seen, trouble=str(error), status=422))
    return see("/dinner/favourites", "favourite-kept")


def _keep(context: Context, household: str, place: str, sent: SeenForm, mine: Values) -> None:
    def write(guarded: Context, values: Values) -> None:
        service.keep(guarded, household, dish_of_values(values), place)

    if place == NEW:
        service.keep(context, household, dish_of_values(mine))
        return
    put_joined(context, household, sent, mine, _joined(place), write)


def _joined(favourite: str) -> JoinedFields:
    return JoinedFields(
        lambda where: dish_values(typed_favourite(service.favourite_in(where, favourite))),
        DISH_LABELS.__getitem__,
        dish_words,
    )


@router.post("/{favourite}/put")
def put(
    request: Request,
    context: ContextDep,
    household: HouseholdDep,
    favourite: Id,
    form: Annotated[PutForm, Form()],
) -> Response:
    """Put it on a date; a dinner that somebody else has planned for it is shown first."""
    try:
        _put_on(context, household, iso_date(form.on), Entry(favourite=favourite, seen=form.seen), form)
    except Replanned as error:
        again = Typed(puts=(favourite, form, error), status=409)
        return _page(request, context, household, again)
    except (Malformed, NotEditable, Unknown) as error:
        return _page(request, context, household, Typed(trouble=str(error), status=422))
    return see("/dinner/favourites", "favourite-put")


def _put_on(context: Context, household: str, on: date, entry: Entry, form: PutForm) -> None:
    try:
        plan_week(context, household, {on: replace(entry, take=bool(form.take))})
    except Replanned as error:
        if error.days[on].dinner is not None:
            raise
        # Another date was chosen after both were shown, and nothing is planned for that one.
        plan_week(context, household, {on: replace(entry, seen="")})


@router.post("/{favourite}/remove")
def drop(
    request: Request,
    context: OnceDep,
    household: HouseholdDep,
    favourite: Id,
    seen: Annotated[str, Form()] = "",
) -> Response:
    """Keep it no longer, unless somebody has changed it since."""
    as_shown = holding(context, seen, _joined(favourite).as_they_are, CHANGED_SINCE)
    try:
        with suppress(Repeated):
            service.drop(as_shown, household, favourite)
    except NotEditable as error:
        return _page(request, context, household, Typed(trouble=str(error), status=409))
    return see("/dinner/favourites", "taken-off")
