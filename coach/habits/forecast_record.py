"""The household's record of its own forecasts: what was written down, and how many of those over held.

A forecast is judged by the steps it was about. One of them that was set aside since asks for nothing more;
what was added since and another pace change nothing: a forecast is of the days that come, with what comes in
them. To leave out those after which something was changed would leave out most that went wrong.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any

from coach.course.shapes import required, shape
from coach.habits.forecast_answers import Held

if TYPE_CHECKING:
    from collections.abc import Iterable

    from coach.ground.situation import Situation
    from coach.habits.forecast_answers import Span

FORECAST = "forecast"
"""The kind of the plan that holds a forecast, by the date on which it was made."""
_SHAPE = shape({"from": str, "to": str, "steps": [str]})


@dataclass(frozen=True, slots=True)
class Kept:
    """A forecast as it was written down.

    Attributes:
        from_: The first date of its range.
        to: The last one.
        steps: The waiting steps that had not settled, by their ids then.
    """

    from_: date
    to: date
    steps: tuple[str, ...]

    def holds(self, on: date) -> bool:
        """Whether a date lies within its range."""
        return self.from_ <= on <= self.to


def value_of(span: Span, steps: Iterable[str]) -> dict[str, Any]:
    """A forecast that has dates as a value of the plan."""
    return {"from": f"{span.from_}", "to": f"{span.to}", "steps": list(steps)}


def record_in(where: Situation) -> Held:
    """How many of the household's forecasts are over, and how many of these held, out of a situation."""
    kept = where.plan.read(FORECAST, _parsed).values()
    judged = [held for forecast in kept if (held := _held(where, forecast)) is not None]
    return Held(over=len(judged), held=sum(judged))


def _parsed(key: str, value: Any) -> Kept:  # noqa: ANN401  JSON out of the plan
    date.fromisoformat(key)
    required(value, _SHAPE)
    return Kept(date.fromisoformat(value["from"]), date.fromisoformat(value["to"]), tuple(value["steps"]))


def _held(where: Situation, forecast: Kept) -> bool | None:
    """Whether a forecast held; None while it is not over, and where no step is left to judge it by."""
    known = (where.state.records.get(where.meant(step) or "") for step in forecast.steps)
    settled = [record.settled for record in known if record is not None and not record.set_aside]
    dates = [on for on in settled if on is not None]
    if not settled:
        return None
    if len(dates) == len(settled):
        return forecast.holds(max(dates))
    return False if forecast.to < where.today else None
