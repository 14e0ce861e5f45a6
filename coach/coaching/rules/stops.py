"""What a table of where people stop says of one step."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from coach.coaching.rules.counts import ENDS, ended, entered
from coach.coaching.rules.incidence import incidence
from coach.coaching.rules.median import Median, median

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from coach.coaching.rules.counts import Count
    from coach.coaching.rules.incidence import Incidence
    from coach.ground.spells import Ending


@dataclass(frozen=True, slots=True)
class Stops:
    """Where people stop in one step.

    Attributes:
        step: The step.
        entered: Spells there are.
        ends: How many of them ended in each way.
        open: How many have not ended.
        median: The day by which half have settled, other ends censored.
        incidence: The cumulative incidence of each end.
    """

    step: str
    entered: int
    ends: Mapping[Ending, int]
    open: int
    median: Median
    incidence: Incidence


def stops(step: str, counts: Sequence[Count]) -> Stops:
    """What the spells of a step come to."""
    return Stops(
        step=step,
        entered=entered(counts),
        ends={ending: ended(counts, ending) for ending in ENDS},
        open=ended(counts, "open"),
        median=median(counts),
        incidence=incidence(counts),
    )


def stops_json(found: Stops) -> dict[str, Any]:
    """The object that the command and the group's address give for a step, with nothing hidden."""
    return {
        "step": found.step,
        "entered": found.entered,
        **{ending.replace(" ", "_"): number for ending, number in found.ends.items()},
        "open": found.open,
        "median": found.median.day,
        "median_low": found.median.low,
        "median_high": found.median.high,
        "incidence": [list(row) for row in found.incidence.rows()],
    }
