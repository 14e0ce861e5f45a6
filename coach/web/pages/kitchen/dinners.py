"""`/dinner`: a week's dinners in one form, and what has to leave the freezer."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated, Literal

from fastapi import APIRouter, Form, Path, Request, Response

from coach.course.keys import is_blank
from coach.errors import NotEditable
from coach.ground.faults import FieldFault, Unfit
from coach.ground.situation import Situation
from coach.kitchen import dinners as service
from coach.kitchen import planning
from coach.kitchen.answers import DinnerWeek
from coach.kitchen.dinners import TypedDinner
from coach.kitchen.dishes import TypedDish
from coach.kitchen.planning import Entry, Replanned, plan_week
from coach.web.dates import IsoDate
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.pages.kitchen.form import KINDS, as_replanned, both_of, entries_in, week_fields
from coach.web.pages.sent import Sent, text_in
from coach.web.pages.ways import see, words
from coach.web.showing import View, show

router = APIRouter(prefix="/dinner")

On = Annotated[IsoDate, Path()]


@dataclass(frozen=True)
class Shown:
    """What a page shows beside the week itself.

    Attributes:
        sent: What was typed, if it could not be used.
        faults: Why not, field by field.
        trouble: Why not, if it is no field's fault.
        replanned: The dates that somebody else has planned meanwhile, with the form as it was sent.
    """

    sent: Mapping[dt.date, Entry] = field(default_factory=dict)
    faults: tuple[FieldFault, ...] = ()
    trouble: str | None = None
    said: str | None = None
    replanned: Replanned | None = None


def _week(where: Situation, shown: Shown, name: str | None = None) -> View:
    """A week's dinners, this week's if none is named."""
    week = planning.week_in(where, name)
    sent, replanned = shown.sent, shown.replanned
    values = {
        "week": week,
        "days": week_fields(week, as_replanned(replanned, sent) if replanned else sent, shown.faults),
        "both": both_of(replanned, sent, week) if replanned else (),
        "faults": shown.faults,
        "kinds": KINDS,
        "listed": _listed(week),
        "said": shown.said,
        "trouble": shown.trouble,
    }
    return "kitchen/dinners.html", values


def _listed(week: DinnerWeek) -> frozenset[tuple[dt.date, int]]:
    """What the page says of the freezer before the dates themselves, so that it is said once."""
    moves = (*week.moves.today, *week.moves.tomorrow, *week.moves.behind) if week.current else ()
    return frozenset((move.date, move.item.number) for move in moves)


@router.get("")
def this_week(
    request: Request, context: ContextDep, household: HouseholdDep, said: str | None = None
) -> Response:
    """This week's dinners."""
    shown = Shown(said=words(said))
    return show(request, context, household, lambda where: _week(where, shown))


@router.get("/{week}")
def other_week(
    request: Request,
    context: ContextDep,
    household: HouseholdDep,
    week: Annotated[str, Path(max_length=20)],
    said: str | None = None,
) -> Response:
    """Another week's dinners; those of past dates can be read."""
    shown = Shown(said=words(said))
    return show(request, context, household, lambda where: _week(where, shown, week))


@router.post("")
def plan(request: Request, context: ContextDep, household: HouseholdDep, form: Sent) -> Response:
    """Plan the week; with a fault in any date nothing is saved, and everything typed is still there."""
    entries = entries_in(form)
    try:
        planned = plan_week(context, household, entries)
    except Unfit as error:
        shown = Shown(entries, error.faults)
    except NotEditable as error:
        shown = Shown(entries, trouble=str(error))
    except Replanned as error:
        shown = Shown(entries, replanned=error)
    else:
        return see(_address(planned), "dinners-planned")
    name = text_in(form, "week")[:20] or None
    status = 409 if shown.replanned else 422
    return show(request, context, household, lambda where: _week(where, shown, name), status)


@router.post("/{date}/dish")
def decide(
    request: Request,
    context: ContextDep,
    household: HouseholdDep,
    date: On,
    dish: Annotated[str, Form()] = "",
    favourite: Annotated[str, Form()] = "",
) -> Response:
    """Today's answer to “what is for dinner?”: a few words, or a favourite."""
    if is_blank(dish) and not favourite:
        return see("/today")
    entry = Entry(TypedDinner(TypedDish(dish)), favourite=favourite)
    try:
        plan_week(context, household, {date: entry})
    except Unfit as error:
        refused = error
    except Replanned as error:
        shown = Shown({date: entry}, replanned=error)
        return show(request, context, household, lambda where: _week(where, shown), 409)
    else:
        return see("/today", "dinners-planned")

    def view(where: Situation) -> View:
        """What was typed stands in today's fields, even if it was meant for a date that is over."""
        faults = refused.faults if date == where.today else ()
        return _week(where, Shown({where.today: entry}, faults, None if faults else str(refused)))

    return show(request, context, household, view, 422)


@router.post("/{date}/frozen/{number}")
def leave(
    context: ContextDep,
    household: HouseholdDep,
    date: On,
    number: int,
    left: Annotated[Literal["yes", "no"], Form()],
    back: Annotated[Literal["today", "dinner"], Form()] = "dinner",
) -> Response:
    """Say that a frozen item has left the freezer, or that it has not."""
    service.leave(context, household, date, number, left=left == "yes")
    return see("/today" if back == "today" else "/dinner", "left-freezer")


def _address(week: DinnerWeek) -> str:
    return "/dinner" if week.current else f"/dinner/{week.week}"
