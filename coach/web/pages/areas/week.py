"""`/areas/week` and `/areas/weeks`: this week's area to work through, and the weeks to come."""

import datetime as dt
from collections.abc import Callable
from contextlib import suppress
from typing import Annotated, Literal

from fastapi import APIRouter, Form, Path, Request, Response

from coach.areas import overview, turns
from coach.areas import week as service
from coach.areas.answers import AreaWeekView
from coach.course.direction import isolated
from coach.errors import Malformed, NotEditable, Repeated, Unknown
from coach.ground.ports import Context
from coach.ground.situation import Situation
from coach.web.dates import IsoDate
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.pages.answering import answered
from coach.web.pages.areas.fields import number
from coach.web.pages.areas.shown import change_to_undo, turns_to_come
from coach.web.pages.once import OnceDep
from coach.web.pages.seen import holding, seen_text
from coach.web.pages.ways import see, words
from coach.web.rendering import is_partial, page
from coach.web.showing import View, show, show_kept

router = APIRouter(prefix="/areas")

TaskId = Annotated[str, Path(max_length=100)]
Typed = Annotated[str, Form()]
NOT_AS_SHOWN = (
    "The weeks have changed since this page was shown, so nothing was done. "
    "This is how they stand now; look at them, and choose again."
)


def _week(found: AreaWeekView, on: dt.date, said: str | None = None) -> dict[str, object]:
    """What the page of the week is given; `on` is the date that ticks are for."""
    return {"week": found, "on": on if on in found.days else found.today, "said": said, "trouble": None}


@router.get("/week")
def week(
    request: Request,
    context: ContextDep,
    household: HouseholdDep,
    on: IsoDate | None = None,
    said: str | None = None,
) -> Response:
    """This week's area; before there are any, the rooms to pick from."""
    text = words(said)

    def view(where: Situation) -> View:
        found = service.this_week_in(where)
        return "areas/week.html", _week(found, on or found.today, text)

    try:
        if text is not None or on is not None:
            return show(request, context, household, view)
        return show_kept(request, context, household, "area-week", view)
    except Unknown:
        return see("/areas")


@router.post("/week/tasks/{task}")
def mark(
    request: Request,
    context: ContextDep,
    household: HouseholdDep,
    task: TaskId,
    on: Annotated[IsoDate, Form()],
    mark: Annotated[Literal["done", "undo"], Form()],
) -> Response:
    """One tap: a task finished on a date, or that taken back."""
    change = service.mark_task if mark == "done" else service.unmark_task
    found = change(context, household, on, task)
    if is_partial(request):
        said = "Marked as finished." if mark == "done" else "Mark taken back."
        if found.offers is not None:
            said += f" {isolated(found.offers.title)} can be marked as kept."
        return page(request, "areas/parts/answer.html", _week(found, on, said))
    return see("/areas/week" if on == found.today else f"/areas/week?on={on}")


@router.get("/weeks")
def weeks(
    request: Request, context: ContextDep, household: HouseholdDep, said: str | None = None
) -> Response:
    """The next twelve weeks, as a picture and in words."""
    text = words(said)

    def view(where: Situation) -> View:
        name, values = weeks_view(where)
        return name, {**values, "said": text}

    try:
        if text is not None:
            return show(request, context, household, view)
        return show_kept(request, context, household, "area-weeks", view)
    except Unknown:
        return see("/areas")


def weeks_view(where: Situation) -> View:
    """The weeks to come."""
    return "areas/weeks.html", {
        "rotation": turns.rotation_in(where),
        "areas": overview.all_areas_in(where),
        "undo_seen": seen_text(change_to_undo(where)),
        "turns_seen": seen_text(turns_to_come(where)),
        "said": None,
        "trouble": None,
    }


def _changed(
    request: Request, context: Context, household: str, seen: str, step: Callable[[Context], object]
) -> Response:
    """The weeks after a step that was chosen by looking at them; a second tap leads to the same."""
    try:
        with suppress(Repeated):
            step(holding(context, seen, turns_to_come, NOT_AS_SHOWN))
    except (Malformed, Unknown, NotEditable) as error:
        return answered(request, context, household, weeks_view, error=error)
    return see("/areas/weeks", "area-changed")


@router.post("/weeks/skip")
def skip(
    request: Request,
    context: OnceDep,
    household: HouseholdDep,
    week: Annotated[IsoDate, Form()],
    seen: Typed = "",
) -> Response:
    """Leave a week free."""
    return _changed(request, context, household, seen, lambda held: turns.skip(held, household, week))


@router.post("/weeks/swap")
def swap(
    request: Request,
    context: OnceDep,
    household: HouseholdDep,
    week: Annotated[IsoDate, Form()],
    other: Annotated[IsoDate, Form()],
    seen: Typed = "",
) -> Response:
    """Let two weeks change their turns."""
    return _changed(request, context, household, seen, lambda held: turns.swap(held, household, week, other))


@router.post("/weeks/give")
def give(
    request: Request, context: OnceDep, household: HouseholdDep, area: Typed = "", seen: Typed = ""
) -> Response:
    """Give this week to another area."""
    return _changed(request, context, household, seen, lambda held: turns.give(held, household, area))


@router.post("/weeks/declutter")
def declutter(
    request: Request, context: OnceDep, household: HouseholdDep, weeks: Typed = "", seen: Typed = ""
) -> Response:
    """Begin declutter weeks, so many or one round of all areas; 0 ends them."""

    def step(held: Context) -> object:
        return turns.declutter(held, household, number("the weeks", weeks) if weeks.strip() else None)

    return _changed(request, context, household, seen, step)
