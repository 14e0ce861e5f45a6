"""`/path`: the progression graph as a picture and as a list, and how long the rest may take."""

from fastapi import APIRouter, Request, Response

from coach.ground.situation import Situation
from coach.habits import path as service
from coach.habits.forecast_answers import Forecast
from coach.habits.forecasting import forecast_in
from coach.habits.path import picture_of
from coach.habits.path_answers import Path
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.pages.habits.weeks_ahead import weeks_ahead, weeks_for
from coach.web.pages.ways import words
from coach.web.rendering import page
from coach.web.showing import Later, View, show

router = APIRouter()


@router.get("/path")
def path(request: Request, context: ContextDep, household: HouseholdDep, said: str | None = None) -> Response:
    """Where every step stands and what it waits for; before the start, the course as it is."""
    text = words(said)
    if context.store.version(household) is None:
        return page(request, *_view(service.path_ahead(context), text))
    return show(request, context, household, lambda where: _standing(where, text))


def _standing(where: Situation, said: str | None) -> View:
    name, values = _view(service.path_in(where), said)
    ask = forecast_in(where)
    return name, {**values, "later": Later(lambda: _drawn(ask()))}


def _drawn(forecast: Forecast) -> dict[str, object]:
    """The forecast with its line of weeks; none where nothing is left and there is nothing to tell."""
    span, on = forecast.span, forecast.on
    if span.cannot_say == "nothing-left" and not forecast.record.over:
        return {}
    return {"forecast": forecast, "weeks": weeks_ahead(span, on, weeks_for([span], on))}


def _view(found: Path, said: str | None) -> View:
    values = {"path": found, "picture": picture_of(found), "steps": {step.step: step for step in found.steps}}
    return "habits/path.html", {**values, "said": said, "forecast": None}
