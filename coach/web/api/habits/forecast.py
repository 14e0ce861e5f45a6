"""`/api/forecast`: by when the last step settles that others wait for, and what would change that."""

import datetime as dt
from typing import Annotated

from fastapi import APIRouter, Response
from pydantic import BaseModel, ConfigDict, Field, TypeAdapter

from coach.habits import forecasting
from coach.habits import what_if as trying
from coach.habits.forecast_answers import CannotSayName, ChangeName, Held, Span
from coach.web.api.answers import problems, written
from coach.web.api.strictness import StrictRoute
from coach.web.deps import ContextDep, HouseholdDep

router = APIRouter(tags=["path"], route_class=StrictRoute)

FROM = "The first date of the central 80 %."
TO = "The last date of the central 80 %, at most a year ahead."
SEED = "What the futures were drawn with: the same household, date and log have the same numbers."


class SpanDocument(BaseModel):
    """By when the last step settles that others wait for; no dates where `cannot_say` says why."""

    model_config = ConfigDict(from_attributes=True, serialize_by_alias=True)

    from_: Annotated[dt.date | None, Field(serialization_alias="from", description=FROM)]
    to: Annotated[dt.date | None, Field(description=TO)]
    median: Annotated[dt.date | None, Field(description="The first date by which the chance is 1 in 2.")]
    futures: Annotated[int, Field(description="How many futures were followed.")]
    seed: Annotated[int, Field(description=SEED)]
    cannot_say: Annotated[CannotSayName | None, Field(description="Why there are no dates.")]
    text: Annotated[str, Field(description="The dates with 1 in 2 and 8 in 10, or why there are none.")]


class ForecastDocument(SpanDocument):
    """The household's forecast of today, and what came of earlier ones."""

    record: Annotated[Held, Field(description="Of earlier forecasts that are over, how many held.")]


class ChangeDocument(SpanDocument):
    """The dates with one thing changed from today on."""

    change: ChangeName
    title: str
    means: Annotated[str, Field(description="What was changed.")]


class WhatIfDocument(BaseModel):
    """The present dates, and those of each change there is room for."""

    present: SpanDocument
    changes: tuple[ChangeDocument, ...]


FORECAST = TypeAdapter(ForecastDocument)
WHAT_IF = TypeAdapter(WhatIfDocument)


@router.get("/forecast", response_model=ForecastDocument, responses=problems("not-started"))
def forecast(context: ContextDep, household: HouseholdDep) -> Response:
    """By when the last step settles that others wait for, reckoned from the household's own marks.

    As if the days ahead went like those so far. No dates are said on a lapsed or a return day.
    """
    found = forecasting.forecast(context, household)
    return written(FORECAST, ForecastDocument(**_values(found.span), record=found.record))


@router.get("/forecast/what-if", response_model=WhatIfDocument, responses=problems("not-started"))
def what_if(context: ContextDep, household: HouseholdDep) -> Response:
    """The same at the next gentler pace, with the last two steps fewer, and with one weekday off."""
    found = trying.what_if(context, household)
    changes = tuple(
        ChangeDocument(**_values(one.span), change=one.change, title=one.title, means=one.means)
        for one in found.changes
    )
    return written(WHAT_IF, WhatIfDocument(present=SpanDocument(**_values(found.present)), changes=changes))


def _values(span: Span) -> dict[str, object]:
    return {name: getattr(span, name) for name in SpanDocument.model_fields}
