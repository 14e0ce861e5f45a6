"""Strength: the estimate of how automatic a step has become (rules §5.10).

The curve is the one of Lally et al. 2010 (doi 10.1002/ejsp.674): each kept outcome closes the same share of
what is left to the plateau. In that study 95 % of the plateau took 18 to 254 days, with a median of 66.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from coach.course import model

SLOWEST_DAYS = 254
FASTEST_DAYS = 18


def growth(days_to_95: float) -> float:
    """The share of what is left that one kept outcome adds, so that `days_to_95` of them reach 0.95."""
    return 1.0 - math.pow(0.05, 1.0 / days_to_95)


@dataclass(frozen=True, slots=True)
class Rates:
    """What one outcome does to a strength.

    Attributes:
        typical: Growth for the course's own number of repetitions.
        slowest: Growth for 254 repetitions.
        fastest: Growth for 18 repetitions.
        fading: The factor of one missed occurrence.
    """

    typical: float
    slowest: float
    fastest: float
    fading: float

    @classmethod
    def of(cls, numbers: model.Strength) -> Rates:
        """The rates that follow from a course's numbers."""
        return cls(
            typical=growth(numbers.days_to_95),
            slowest=growth(SLOWEST_DAYS),
            fastest=growth(FASTEST_DAYS),
            fading=math.pow(0.5, 1.0 / numbers.half_life_missed),
        )
