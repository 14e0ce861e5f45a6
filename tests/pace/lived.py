"""Households made by the forecast's own model: what they are, and what their days told."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

import numpy as np

from coach.pace.evidence import KINDS, DayTold, Evidence, Quiet
from coach.pace.posterior import WEEKDAYS
from coach.pace.priors import PRIORS

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from numpy.typing import NDArray

STARTED = date(2027, 1, 4)
"""A Monday."""


@dataclass(frozen=True, slots=True)
class Household:
    """One household of the model; `level` is the one on the day after its last."""

    evidence: Evidence
    level: float
    kinds: NDArray[np.float64]
    weekdays: NDArray[np.float64]
    begins: float
    ends: float


def lines_due(day: int, weekday: int) -> tuple[int, ...]:
    """A handful of lines, as a course brings them: more by and by, and weekly ones from the third week on."""
    weekly = int(day >= 14 and weekday in {2, 4})
    return (1 + day // 8 % 3, int(day >= 5), 1 + int(day >= 10), weekly)


def from_the_model(rng: np.random.Generator, days: int) -> Household:
    """A household drawn from the priors, after so many days."""
    kinds = rng.normal(0.0, PRIORS.kind_spread, KINDS)
    weekdays = rng.normal(0.0, PRIORS.weekday_spread, WEEKDAYS)
    begins, ends = rng.beta(*PRIORS.quiet_begins), rng.beta(*PRIORS.quiet_ends)
    level, quiet = rng.normal(PRIORS.level, PRIORS.level_spread), False
    told, spells = [], []
    for day in range(days):
        on = STARTED + timedelta(days=day)
        before, quiet = quiet, bool(rng.random() < (1.0 - ends if quiet else begins))
        spells.append(Quiet(on, quiet, before))
        if not quiet:
            due = lines_due(day, on.weekday())
            chances = 1.0 / (1.0 + np.exp(-(level + kinds + weekdays[on.weekday()])))
            told.append(DayTold(on, tuple(map(int, rng.binomial(due, chances))), due))
        level += rng.normal(0.0, PRIORS.drift)
    evidence = Evidence(STARTED, on, tuple(told), tuple(spells), quiet)
    return Household(evidence, float(level), kinds, weekdays, begins, ends)


def with_outcomes(days: int, due: Sequence[int], kept: Callable[[date, int], Sequence[int]]) -> Evidence:
    """A household never quiet, so much due each day; `kept` says of a date and its number how much was."""
    dates = [STARTED + timedelta(days=day) for day in range(days)]
    told = tuple(DayTold(on, tuple(kept(on, day)), tuple(due)) for day, on in enumerate(dates))
    spells = tuple(Quiet(on, quiet=False, before=False) for on in dates)
    return Evidence(STARTED, dates[-1], told, spells)
