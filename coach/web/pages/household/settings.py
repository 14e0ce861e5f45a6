"""`/settings`: the time zone, when the day and the week begin, how many minutes are enough, and the pace."""

from collections.abc import Collection
from typing import Annotated

from fastapi import APIRouter, Form, Request, Response

from coach.errors import Malformed, NotEditable
from coach.ground.ports import Context
from coach.ground.situation import Situation
from coach.ground.wording import minutes_words
from coach.household import settings as service
from coach.household.answers import Settings
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.pages.household.start import regions
from coach.web.pages.seen import Clash, Fields, SeenForm, Shown, Values, fields_of, put, seen_text
from coach.web.pages.ways import see, words
from coach.web.showing import View, show

router = APIRouter(prefix="/settings")


class SettingsForm(SeenForm):
    """The form; a blank `minutes` is no ceiling, a blank `week_starts` or `pace` leaves what holds."""

    zone: str
    day_starts: str
    minutes: str = ""
    week_starts: str = ""
    pace: str = ""


LABELS = {
    "zone": "Time zone",
    "day_starts": "The day begins at",
    "minutes": "Most minutes a day for daily steps",
    "week_starts": "The week begins on",
    "pace": "Pace",
}
LEFT_BLANK = ("week_starts", "pace")
"""The fields that leave what holds where they are blank."""


def _form(settings: Settings) -> SettingsForm:
    """The settings as one would type them."""
    return SettingsForm(
        zone=settings.zone,
        day_starts=settings.day_starts,
        minutes="" if settings.minutes is None else str(settings.minutes),
        week_starts=settings.week_starts,
        pace=settings.pace,
    )


def _page(
    request: Request,
    context: Context,
    household: str,
    said: str | None = None,
    typed: Shown[SettingsForm] | None = None,
) -> Response:
    """The settings as they are, or as they were typed."""

    def view(where: Situation) -> View:
        found = service.settings_in(where)
        form = _form(found)
        shown = typed or Shown(form, seen_text(fields_of(form)))
        values = {"settings": found, "regions": regions(found.zones), "said": said, "shown": shown}
        return "household/settings.html", values

    return show(request, context, household, view, typed.status if typed else 200)


def _values_in(form: SettingsForm) -> Values:
    """The fields as sent, without those that were left blank to leave what holds."""
    found = {name: text.strip() for name, text in fields_of(form).items()}
    return {name: text for name, text in found.items() if text or name not in LEFT_BLANK}


def _fields(names: Collection[str]) -> Fields:
    def as_they_are(where: Situation) -> Values:
        found = fields_of(_form(service.settings_in(where)))
        return {name: found[name] for name in names}

    return Fields(as_they_are, LABELS.__getitem__, _words)


def _words(name: str, text: str) -> str:
    if name == "minutes" and text.isdecimal():
        return minutes_words(int(text))
    if name == "zone":
        # As the list of places has it: the place, and the region it stands under.
        region, _, place = text.partition("/")
        return f"{place.replace('_', ' ')}, {region}" if place else text
    return text.capitalize() if name in LEFT_BLANK else text


@router.get("")
def ask(request: Request, context: ContextDep, household: HouseholdDep, said: str | None = None) -> Response:
    """What holds now."""
    return _page(request, context, household, words(said))


@router.post("")
def change(
    request: Request, context: ContextDep, household: HouseholdDep, form: Annotated[SettingsForm, Form()]
) -> Response:
    """Change them from today on."""

    def write(guarded: Context, values: Values) -> None:
        service.change(
            guarded,
            household,
            zone=values["zone"],
            day_starts=values["day_starts"],
            minutes=values["minutes"],
            week_starts=values.get("week_starts"),
            pace=values.get("pace"),
        )

    mine = _values_in(form)
    try:
        put(context, household, form, mine, _fields(mine), write)
    except Clash as clash:
        both = clash.shown(SettingsForm(**clash.merged))
        return _page(request, context, household, typed=both)
    except (Malformed, NotEditable) as error:
        typed = Shown(form, form.seen, trouble=str(error), status=422)
        return _page(request, context, household, typed=typed)
    return see("/settings", "saved")
