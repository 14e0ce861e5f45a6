"""`/week`: the current week and others, minutes available, balance, and what was moved."""

from collections.abc import Iterable, Mapping
from contextlib import suppress
from datetime import date
from typing import Annotated

from fastapi import APIRouter, Form, Path, Request, Response
from pydantic import Field

from coach.areas.offers import rooms_first_for
from coach.errors import Malformed, NotEditable, Repeated, SteadingError
from coach.ground.ports import Context
from coach.ground.situation import Situation, looking
from coach.ground.wording import minutes_words
from coach.household.places import places_in
from coach.progress.days import iso_date
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.pages.fields import whole_minutes
from coach.web.pages.once import OnceDep
from coach.web.pages.seen import (
    Clash,
    Fields,
    SeenForm,
    Shown,
    Values,
    fields_of,
    holding,
    put,
    seen_text,
)
from coach.web.pages.ways import see, words
from coach.web.pages.week.fence import fence, most
from coach.web.problems import of_error
from coach.web.rendering import WEEKDAYS, page
from coach.web.showing import View, show, show_kept
from coach.week import balance as balancing
from coach.week import days as service
from coach.week import moves as week_moves
from coach.week.answers import MovedJob, WeekdayName

router = APIRouter(prefix="/week")

Named = Annotated[str, Path(max_length=20)]


class MinutesForm(SeenForm):
    """The minutes of each weekday; an empty field is none.

    Attributes:
        week: The name of the week to go back to; empty: the current one.
    """

    week: str = ""
    MO: str = ""
    TU: str = ""
    WE: str = ""
    TH: str = ""
    FR: str = ""
    SA: str = ""
    SU: str = ""


class AcceptForm(SeenForm):
    """The proposal that was shown: `move` holds steps with their new dates, as `linen:2027-02-04`."""

    move: list[str] = Field(default_factory=list)


class UndoForm(SeenForm):
    """What was moved last, as it was shown; `week` is the name of the week to go back to."""

    week: Annotated[str, Field(max_length=20)] = ""


MOVED_SINCE = (
    "Something else was moved since this page was opened, so nothing was moved back. "
    "This is how the week stands now."
)


def _values(
    where: Situation,
    name: str | None,
    said: str | None = None,
    trouble: str | None = None,
    typed: Shown[MinutesForm] | None = None,
) -> dict[str, object]:
    week = service.week_in(where, name)
    return {
        "week": week,
        "rooms_first": rooms_first_for(where) is not None,
        "posts": fence(week.days, most(week.days)),
        "today": where.today,
        "has_jobs": any(day.jobs or day.earlier for day in week.days),
        "can_move": any(job.days for day in week.days for job in day.jobs),
        "said": said,
        "trouble": trouble,
        "available": typed or _as_it_is(week.available),
        "moved_seen": seen_text(_moved(week.moved)),
    }


def _as_it_is(available: Mapping[WeekdayName, int | None]) -> Shown[MinutesForm]:
    values = _texts(available)
    return Shown(MinutesForm(**values), seen_text(values))


def _texts(available: Mapping[WeekdayName, int | None]) -> Values:
    """The minutes of each weekday as one types them."""
    return {str(day): "" if minutes is None else str(minutes) for day, minutes in available.items()}


def _moved(moved: Iterable[MovedJob]) -> Values:
    """What was moved last, as far as it is anybody's doing: its next date comes by itself."""
    return {"moved": "; ".join(f"{job.step} {job.repeats_text}" for job in moved)}


def week_page(
    request: Request, context: Context, household: str, name: str | None, error: SteadingError
) -> Response:
    """A week with what went wrong above it."""
    found = of_error(error)

    def view(where: Situation) -> View:
        return "week/days.html", _values(where, name, trouble=found.detail)

    return show(request, context, household, view, found.status)


def _week_as_typed(
    request: Request, context: Context, household: str, name: str | None, typed: Shown[MinutesForm]
) -> Response:
    """A week with its minutes as they were typed, and what speaks against that."""

    def view(where: Situation) -> View:
        return "week/days.html", _values(where, name, trouble=typed.trouble, typed=typed)

    return show(request, context, household, view, typed.status)


def _week(
    request: Request, context: ContextDep, household: str, name: str | None, said: str | None
) -> Response:
    text = words(said)

    def view(where: Situation) -> View:
        return "week/days.html", _values(where, name, text)

    if text is not None:
        return show(request, context, household, view)
    return show_kept(request, context, household, ("week", name), view)


@router.get("")
def week(request: Request, context: ContextDep, household: HouseholdDep, said: str | None = None) -> Response:
    """The current week."""
    return _week(request, context, household, None, said)


@router.get("/{week}")
def week_named(
    request: Request, context: ContextDep, household: HouseholdDep, week: Named, said: str | None = None
) -> Response:
    """A week by its name; past ones are read only."""
    return _week(request, context, household, week, said)


@router.post("/available")
def set_available(
    request: Request, context: ContextDep, household: HouseholdDep, form: Annotated[MinutesForm, Form()]
) -> Response:
    """Say how many minutes there are."""

    def write(guarded: Context, values: Values) -> None:
        minutes = {day: int(text) if text else None for day, text in values.items()}
        service.set_available(guarded, household, minutes)

    name = form.week or None
    try:
        put(context, household, form, _minutes_in(form), AVAILABLE, write)
    except Clash as clash:
        typed = clash.shown(MinutesForm(**clash.merged))
        return _week_as_typed(request, context, household, name, typed)
    except (Malformed, NotEditable) as error:
        typed = Shown(form, form.seen, trouble=str(error), status=422)
        return _week_as_typed(request, context, household, name, typed)
    return see(address(name), "saved")


def _minutes_in(form: MinutesForm) -> Values:
    """The minutes as typed, each number as one would write it.

    Raises:
        Malformed: One is no number of minutes.
    """
    typed = fields_of(form, {"week"})
    minutes = {day: whole_minutes(WEEKDAYS[day], text) for day, text in typed.items()}
    return {day: "" if number is None else str(number) for day, number in minutes.items()}


AVAILABLE = Fields(
    lambda where: _texts(service.available_in(where).minutes),
    WEEKDAYS.__getitem__,
    lambda _name, text: minutes_words(int(text)) if text else "",
)


def address(name: str | None) -> str:
    """Where a week is looked at."""
    return f"/week/{name}" if name else "/week"


@router.post("/undo")
def undo(
    request: Request,
    context: OnceDep,
    household: HouseholdDep,
    form: Annotated[UndoForm, Form()],
) -> Response:
    """Take back what was moved last, which is what the page said that it was."""
    sure = holding(context, form.seen, lambda where: _moved(week_moves.moved_last(where)), MOVED_SINCE)
    name = form.week or None
    try:
        with suppress(Repeated):
            week_moves.undo(sure, household)
    except NotEditable as error:
        return week_page(request, context, household, name, error)
    return see(address(name), "moved-back")


@router.get("/{week}/balance")
def balance(request: Request, context: ContextDep, household: HouseholdDep, week: Named) -> Response:
    """The proposal, before and after side by side."""
    return _balance(request, context, household, week)


def _balance(
    request: Request, context: ContextDep, household: str, name: str, error: SteadingError | None = None
) -> Response:
    with looking(context, household) as where:
        weighed = balancing.weighed_in(where, name)
        places = places_in(where).open
    # The solver may take a while, so nothing of the store is held meanwhile.
    found = balancing.proposed(weighed)
    tallest = most([*found.before.days, *found.after.days])
    problem = of_error(error) if error else None
    values = {
        "balance": found,
        "before": fence(found.before.days, tallest),
        "after": fence(found.after.days, tallest),
        "seen": seen_text({"week": balancing.basis(weighed)}),
        "trouble": problem.detail if problem else None,
    }
    status = problem.status if problem else 200
    return page(request, "week/balance.html", values, status, places=places)


@router.post("/{week}/balance")
def accept(
    request: Request,
    context: OnceDep,
    household: HouseholdDep,
    week: Named,
    form: Annotated[AcceptForm, Form()],
) -> Response:
    """Accept the proposal that was shown, for the week that it was made for."""

    def weighed(where: Situation) -> Values:
        return {"week": balancing.basis(balancing.weighed_in(where, week))}

    try:
        chosen = dict(_move(text) for text in form.move)
        sure = holding(context, form.seen, weighed, balancing.CHANGED)
        with suppress(Repeated):
            balancing.accept(sure, household, week, chosen)
    except (Malformed, NotEditable) as error:
        return _balance(request, context, household, week, error)
    return see(address(week), "balanced")


def _move(text: str) -> tuple[str, date]:
    step, _, day = text.rpartition(":")
    try:
        return step, iso_date(day)
    except Malformed:
        raise Malformed(f"“{text[:40]}” names no job and date. Open the proposal again.") from None
