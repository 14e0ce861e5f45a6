"""How many days something takes: the chance of each number of days, with a tail in closed form."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

DUST = 1e-12
"""Chances nearer to each other than this are the same: what rounding leaves of sums."""
LONGEST = 36_525
"""The days of a hundred years: quantiles beyond them are not told."""


@dataclass(frozen=True, slots=True)
class Distribution:
    """The chances of a whole number of days.

    Attributes:
        chances: (D,) the chance of exactly 0, 1, ... D - 1 days.
        rest: The chance that it takes longer than all of these.
        hazard: Of what has not ended by then, the part that ends on each further day.
    """

    chances: NDArray[np.float64]
    rest: float = 0.0
    hazard: float = 0.0

    @property
    def last(self) -> int:
        """The day after which the tail begins."""
        return self.chances.size - 1

    @property
    def mean(self) -> float | None:
        """The mean number of days; None where it may never end."""
        if self.rest <= 0:
            return float(np.arange(self.chances.size) @ self.chances)
        if self.hazard <= 0:
            return None
        known = float(np.arange(self.chances.size) @ self.chances)
        return known + self.rest * (self.last + 1 / self.hazard)

    @property
    def variance(self) -> float | None:
        """The variance of the number of days; None where it may never end."""
        mean = self.mean
        if mean is None:
            return None
        spread = float((np.arange(self.chances.size) - mean) ** 2 @ self.chances)
        if self.rest > 0:
            # What is left takes last + G days; G is geometric, of mean 1/h and variance (1 - h)/h².
            centre = self.last + 1 / self.hazard - mean
            spread += self.rest * (centre**2 + (1 - self.hazard) / self.hazard**2)
        return spread

    def within(self, days: int) -> float:
        """The chance that it takes at most so many days."""
        return min(float(self.spelled_out(days).sum()), 1.0)

    def quantile(self, chance: float) -> int | None:
        """The smallest number of days by which the chance is at least that; None beyond a hundred years."""
        reached = np.flatnonzero(np.cumsum(self.spelled_out(LONGEST)) >= chance - DUST)
        return int(reached[0]) if reached.size else None

    def spelled_out(self, days: int) -> NDArray[np.float64]:
        """(days + 1,) the chances of 0 to `days` days, the tail among them."""
        further = np.arange(max(0, days - self.last))
        tail = self.rest * self.hazard * np.exp(further * np.log1p(-self.hazard))
        return np.concatenate([self.chances, tail])[: days + 1]


def one_after_the_other(parts: Sequence[Distribution]) -> Distribution:
    """How long several things take of which each begins when the one before has ended, all independent.

    The mean is exact where every part's is; chances are told for a hundred years at most.
    """
    days = min(LONGEST, sum(map(_far, parts)))
    size = 1 << (2 * days + 1).bit_length()
    product = np.ones(size // 2 + 1, complex)
    for part in parts:
        product *= np.fft.rfft(part.spelled_out(days), size)
    together = np.fft.irfft(product, size)[: days + 1]
    # What rounding leaves is no chance.
    chances = np.where(together > DUST * DUST, together, 0.0)
    chances[: sum(map(_first, parts))] = 0.0
    return Distribution(chances)


def _far(part: Distribution) -> int:
    """The day by which all but nothing has ended."""
    if part.rest <= 0:
        return part.last
    if part.hazard <= 0:
        return LONGEST
    return part.last + int(min(LONGEST, np.log(DUST / 100 / part.rest) / np.log1p(-part.hazard)) + 1)


def _first(part: Distribution) -> int:
    """The first day on which it may end."""
    possible = np.flatnonzero(part.chances)
    return int(possible[0]) if possible.size else 0
