"""`/settings`: the time zone, when the day and the week begin, and how many minutes a day are enough."""

from typing import Annotated

from fastapi import APIRouter, Form, Request, Response
from pydantic import BaseModel

from coach.errors import Malformed
from coach.ground.situation import Situation
from coach.household import settings as service
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.pages.household.start import regions
from coach.web.pages.ways import see, words
from coach.web.showing import View, show

router = APIRouter(prefix="/settings")


class SettingsForm(BaseModel):
    """The form; a blank `minutes` is no ceiling, a blank `week_starts` leaves what holds."""

    zone: str
    day_starts: str
    minutes: str = ""
    week_starts: str = ""


def _page(
    request: Request, context: ContextDep, household: str, said: str | None = None, trouble: str | None = None
) -> Response:
    def view(where: Situation) -> View:
        found = service.settings_in(where)
        values = {"settings": found, "regions": regions(found.zones), "said": said, "trouble": trouble}
        return "household/settings.html", values

    return show(request, context, household, view, 422 if trouble else 200)


@router.get("")
def ask(request: Request, context: ContextDep, household: HouseholdDep, said: str | None = None) -> Response:
    """What holds now."""
    return _page(request, context, household, words(said))


@router.post("")
def change(
    request: Request, context: ContextDep, household: HouseholdDep, form: Annotated[SettingsForm, Form()]
) -> Response:
    """Change them from today on."""
    try:
        week_starts = form.week_starts or None
        service.change(context, household, form.zone, form.day_starts, form.minutes, week_starts)
    except Malformed as error:
        return _page(request, context, household, trouble=str(error))
    return see("/settings", "saved")
