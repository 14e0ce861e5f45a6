"""`/dinner/favourites`: dishes that are kept, changed, and put on dates."""

from typing import Annotated

from fastapi import APIRouter, Form, Path, Request, Response

from coach.errors import Malformed, NotEditable, Unknown
from coach.ground.faults import Unfit
from coach.ground.ports import Context
from coach.ground.situation import Situation
from coach.kitchen import dinners as dinner
from coach.kitchen import favourites as service
from coach.kitchen.dishes import TypedDish
from coach.progress.days import iso_date
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.pages.kitchen.form import KINDS, Fields, dish_fields, dish_in, typed_favourite
from coach.web.pages.sent import Sent, text_in
from coach.web.pages.ways import see, words
from coach.web.showing import View, show

router = APIRouter(prefix="/dinner/favourites")

Id = Annotated[str, Path(pattern=r"^[a-z0-9-]{1,80}$")]
# No id of a favourite holds an underscore.
NEW = "new_dish"


def _page(
    request: Request,
    context: Context,
    household: str,
    sent: Fields | None = None,
    said: str | None = None,
    trouble: str | None = None,
) -> Response:
    """All of them; the one that was sent with faults is shown as it was sent."""

    def view(where: Situation) -> View:
        found = service.favourites_in(where).favourites
        forms = {one.id: dish_fields(one.id, typed_favourite(one)) for one in found}
        forms[NEW] = dish_fields(NEW, TypedDish())
        if sent is not None:
            forms[sent.place] = sent
        values = {"favourites": found, "forms": forms, "kinds": KINDS, "sent": sent and sent.place}
        return "kitchen/favourites.html", {**values, "said": said, "trouble": trouble}

    return show(request, context, household, view, 422 if sent or trouble else 200)


@router.get("")
def favourites(
    request: Request, context: ContextDep, household: HouseholdDep, said: str | None = None
) -> Response:
    """All of them."""
    return _page(request, context, household, said=words(said))


@router.post("")
def keep(request: Request, context: ContextDep, household: HouseholdDep, form: Sent) -> Response:
    """Keep a new dish, or change one; what cannot be used is asked again with everything kept."""
    place = text_in(form, "favourite") or NEW
    typed = dish_in(form, place)
    try:
        service.keep(context, household, typed, None if place == NEW else place)
    except Unfit as error:
        faults = tuple(fault.within(place) for fault in error.faults)
        return _page(request, context, household, dish_fields(place, typed, faults))
    except NotEditable as error:
        sent = dish_fields(place, typed)
        return _page(request, context, household, sent, trouble=str(error))
    return see("/dinner/favourites", "favourite-kept")


@router.post("/{favourite}/put")
def put(
    request: Request,
    context: ContextDep,
    household: HouseholdDep,
    favourite: Id,
    on: Annotated[str, Form()] = "",
) -> Response:
    """Put it on a date."""
    try:
        dinner.put_favourite(context, household, iso_date(on), favourite)
    except (Malformed, NotEditable, Unknown) as error:
        return _page(request, context, household, trouble=str(error))
    return see("/dinner/favourites", "favourite-put")


@router.post("/{favourite}/remove")
def drop(context: ContextDep, household: HouseholdDep, favourite: Id) -> Response:
    """Keep it no longer."""
    service.drop(context, household, favourite)
    return see("/dinner/favourites", "taken-off")
