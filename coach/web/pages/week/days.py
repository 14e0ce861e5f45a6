"""`/week`: the current week and others, minutes available, balance, and what was moved."""

from datetime import date
from typing import Annotated

from fastapi import APIRouter, Form, Path, Request, Response
from pydantic import BaseModel, ConfigDict

from coach.errors import Malformed, NotEditable, SteadingError
from coach.ground.situation import Situation, looking
from coach.household.places import places_in
from coach.progress.days import iso_date
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.pages.fields import whole_minutes
from coach.web.pages.ways import see, words
from coach.web.problems import of_error
from coach.web.rendering import WEEKDAYS, page
from coach.web.showing import View, show, show_kept
from coach.week import balance as balancing
from coach.week import days as service
from coach.week import moves as week_moves
from coach.week.answers import Week

router = APIRouter(prefix="/week")

Named = Annotated[str, Path(max_length=20)]


class MinutesForm(BaseModel):
    """The minutes of each weekday; an empty field is none.

    Attributes:
        week: The name of the week to go back to; empty: the current one.
    """

    model_config = ConfigDict(extra="forbid")

    week: str = ""
    MO: str = ""
    TU: str = ""
    WE: str = ""
    TH: str = ""
    FR: str = ""
    SA: str = ""
    SU: str = ""


class AcceptForm(BaseModel):
    """The proposal that was shown: `move` holds steps with their new dates, as `once-over:2027-02-04`."""

    model_config = ConfigDict(extra="forbid")

    move: list[str] = []


def _values(week: Week, said: str | None = None, trouble: str | None = None) -> dict[str, object]:
    longest = max(max(day.minutes, day.available or 0) for day in week.days)
    return {"week": week, "scale": max(longest, 1), "said": said, "trouble": trouble}


def week_page(
    request: Request, context: ContextDep, household: str, name: str | None, error: SteadingError
) -> Response:
    """A week with what went wrong above it."""
    found = of_error(error)

    def view(where: Situation) -> View:
        return "week/days.html", _values(service.week_in(where, name), trouble=found.detail)

    return show(request, context, household, view, found.status)


def _week(
    request: Request, context: ContextDep, household: str, name: str | None, said: str | None
) -> Response:
    text = words(said)

    def view(where: Situation) -> View:
        return "week/days.html", _values(service.week_in(where, name), text)

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
    name = form.week or None
    try:
        minutes = {day: whole_minutes(word, getattr(form, day)) for day, word in WEEKDAYS.items()}
        service.set_available(context, household, minutes)
    except Malformed as error:
        return week_page(request, context, household, name, error)
    return see(address(name), "saved")


def address(name: str | None) -> str:
    """Where a week is looked at."""
    return f"/week/{name}" if name else "/week"


@router.post("/undo")
def undo(
    request: Request,
    context: ContextDep,
    household: HouseholdDep,
    week: Annotated[str, Form(max_length=20)] = "",
) -> Response:
    """Take back what was moved last."""
    try:
        week_moves.undo(context, household)
    except NotEditable as error:
        return week_page(request, context, household, week or None, error)
    return see(address(week or None), "moved-back")


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
    most = max(
        max(day.minutes, day.available or 0) for load in (found.before, found.after) for day in load.days
    )
    problem = of_error(error) if error else None
    values = {"balance": found, "scale": max(most, 1), "trouble": problem.detail if problem else None}
    status = problem.status if problem else 200
    return page(request, "week/balance.html", values, status, places=places)


@router.post("/{week}/balance")
def accept(
    request: Request,
    context: ContextDep,
    household: HouseholdDep,
    week: Named,
    form: Annotated[AcceptForm, Form()],
) -> Response:
    """Accept the proposal that was shown."""
    try:
        chosen = dict(_move(text) for text in form.move)
        balancing.accept(context, household, week, chosen)
    except (Malformed, NotEditable) as error:
        return _balance(request, context, household, week, error)
    return see(address(week), "balanced")


def _move(text: str) -> tuple[str, date]:
    step, _, day = text.rpartition(":")
    try:
        return step, iso_date(day)
    except Malformed:
        raise Malformed(f"“{text[:40]}” names no job and date. Open the proposal again.") from None
