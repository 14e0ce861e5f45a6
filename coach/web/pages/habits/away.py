"""`/away`: times away, and the way back from them."""

from collections.abc import Iterable
from contextlib import suppress
from datetime import date
from typing import Annotated

from fastapi import APIRouter, Form, Request, Response

from coach.errors import Malformed, NotEditable, Repeated
from coach.ground.ports import Context
from coach.ground.situation import Situation
from coach.ground.wording import full_date
from coach.habits import pauses
from coach.habits.answers import PauseView
from coach.habits.day import day_view, pauses_in
from coach.web.dates import IsoDate
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.pages.once import OnceDep
from coach.web.pages.seen import Clash, Fields, SeenForm, Shown, Values, put, seen_text
from coach.web.pages.ways import see, words
from coach.web.showing import View, show

router = APIRouter(prefix="/away")


class AwayForm(SeenForm):
    """A time away: its first day, today if none is said, and its last, an open end if none is."""

    since: IsoDate | None = None
    until: IsoDate | None = None


DATES = "dates"
"""All that is planned, as the one field that two people can change."""


def _written(planned: Iterable[PauseView]) -> str:
    return " ".join(_span(pause.since, pause.until) for pause in planned)


def _span(since: date | None, until: date | None) -> str:
    return f"{since or ''}/{until or ''}"


def _words(_name: str, text: str) -> str:
    """Planned dates in words."""
    return "; ".join(_span_words(*span.split("/")) for span in text.split())


def _span_words(since: str, until: str) -> str:
    begins = full_date(date.fromisoformat(since)) if since else "today"
    return f"{begins} to {full_date(date.fromisoformat(until))}" if until else f"from {begins} on"


FIELDS = Fields(lambda where: {DATES: _written(pauses_in(where))}, lambda _: "Days away", _words)


def _page(
    request: Request,
    context: Context,
    household: str,
    said: str | None = None,
    typed: Shown[AwayForm] | None = None,
) -> Response:
    def view(where: Situation) -> View:
        day = day_view(where)
        empty = Shown(AwayForm(), seen_text({DATES: _written(day.pauses)}))
        return "habits/away.html", {"day": day, "said": said, "shown": typed or empty}

    return show(request, context, household, view, typed.status if typed else 200)


@router.get("")
def ask(request: Request, context: ContextDep, household: HouseholdDep, said: str | None = None) -> Response:
    """What is planned, and the form for more."""
    return _page(request, context, household, words(said))


@router.post("")
def go(
    request: Request, context: OnceDep, household: HouseholdDep, form: Annotated[AwayForm, Form()]
) -> Response:
    """Be away from a date until a date or open end; dates that were not on the page are shown first."""
    mine = {DATES: _span(form.since, form.until)}

    def write(guarded: Context, values: Values) -> None:
        if values == mine:
            pauses.pause(guarded, household, form.since, form.until)

    try:
        with suppress(Repeated):
            put(context, household, form, mine, FIELDS, write)
    except Clash as clash:
        shown = clash.shown(form)
        return _page(request, context, household, typed=shown)
    except (Malformed, NotEditable) as error:
        shown = Shown(form, form.seen, trouble=str(error), status=422)
        return _page(request, context, household, typed=shown)
    return see("/away", "away")


@router.post("/back")
def back(context: OnceDep, household: HouseholdDep) -> Response:
    """Be back."""
    with suppress(Repeated):
        pauses.resume(context, household)
    return see("/today", "back")


@router.post("/call-off")
def call_off(context: OnceDep, household: HouseholdDep, since: Annotated[IsoDate, Form()]) -> Response:
    """Take a pause back that has not begun."""
    with suppress(Repeated):
        pauses.call_off(context, household, since)
    return see("/away", "called-off")
