"""`/month`: a month at a glance, each day a small gate."""

from typing import Annotated

from fastapi import APIRouter, Path, Request, Response

from coach.ground.ports import Context
from coach.ground.situation import Situation
from coach.ground.weeks import DAYS_IN_WEEK, days_of, week_of
from coach.habits.gone_by import Month, MonthDay
from coach.habits.month import month_in
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.showing import View, show_kept

router = APIRouter(prefix="/month")

Named = Annotated[str, Path(max_length=20)]
BARS = 3
"""A day's gate has so many bars, however many lines were due: one is lifted for each third that was kept."""


@router.get("")
def current(request: Request, context: ContextDep, household: HouseholdDep) -> Response:
    """The current month."""
    return _shown(request, context, household, None)


@router.get("/{month}")
def month(request: Request, context: ContextDep, household: HouseholdDep, month: Named) -> Response:
    """A month by its name, from that of the start on."""
    return _shown(request, context, household, month)


def _shown(request: Request, context: Context, household: str, name: str | None) -> Response:
    """The page, kept while nothing is written, since a month long ago takes a year's days to fold."""
    return show_kept(request, context, household, ("month", name), lambda where: _view(where, name))


def _view(where: Situation, name: str | None) -> View:
    found = month_in(where, name)
    since = (found.first - week_of(found.first, where.starts)).days
    values = {
        "month": found,
        "weeks": _weeks(found, since),
        "weekdays": [f"{day:%A}" for day in days_of(week_of(found.first, where.starts))],
        "lifted": {day.date: BARS * day.kept // day.of if day.of else 0 for day in found.days},
        "BARS": BARS,
    }
    return "habits/month.html", values


def _weeks(found: Month, since: int) -> list[list[MonthDay | None]]:
    """The month's days by weeks; none where a week begins before the month or ends after it."""
    places: list[MonthDay | None] = [*([None] * since), *found.days]
    places += [None] * (-len(places) % DAYS_IN_WEEK)
    return [places[start : start + DAYS_IN_WEEK] for start in range(0, len(places), DAYS_IN_WEEK)]
