"""How the days of futures go by what is believed of a household: levels that drift, and quiet spells."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from coach.pace.evidence import kind_of
from coach.pace.priors import PRIORS

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from datetime import date

    from numpy.typing import NDArray

    from coach.course.model import Step
    from coach.pace.evidence import Kind
    from coach.pace.posterior import Drawn

_SURELY_NOT = 80.0  # in single precision exp overflows beyond 88
_TOSSES, _TOSSES_SPREAD = 64, 4.0  # the heads of so many tosses of a coin, and their standard deviation


@dataclass(slots=True)
class Believed:
    """The chances of H futures under the model of docs/pace-model.md.

    Attributes:
        drawn: What is believed of each; the level is that of the day that comes.
        kinds: The kind of each of S steps.
        weekdays: The weekday of each of the days followed, Monday being 0.
        drift: What the level moves by from one day to the next, as a standard deviation.
    """

    drawn: Drawn
    kinds: Sequence[Kind]
    weekdays: Sequence[int]
    drift: float

    def kept(self, day: int) -> NDArray[np.float32]:
        """(S, H) the chance that a line is kept."""
        against = -(self.drawn.kinds + (self.drawn.level + self.drawn.weekdays[self.weekdays[day]]))
        np.minimum(against, _SURELY_NOT, out=against)
        chances: NDArray[np.float32] = np.exp(against.astype(np.float32, copy=False))
        chances += 1.0
        np.reciprocal(chances, out=chances)
        each: NDArray[np.float32] = chances[list(self.kinds)]
        return each

    def quiet_begins(self) -> NDArray[np.float32]:
        """(H,) the same every day."""
        return self.drawn.begins.astype(np.float32, copy=False)

    def quiet_ends(self) -> NDArray[np.float32]:
        """(H,) the same every day."""
        return self.drawn.ends.astype(np.float32, copy=False)

    def pass_night(self, bits: np.random.BitGenerator) -> None:
        """Let the levels drift from one day to the next: by the heads of 64 tosses, as good as normal."""
        level = self.drawn.level
        heads = np.bitwise_count(bits.random_raw(level.size))
        step = self.drift / _TOSSES_SPREAD
        moved = level + (heads * np.float32(step) - np.float32(step * _TOSSES / 2))
        self.drawn = replace(self.drawn, level=moved)

    def taken(self, which: NDArray[np.bool_]) -> Believed:
        """Some of the futures."""
        return replace(self, drawn=self.drawn.taken(which))


def believed_of(drawn: Drawn, steps: Iterable[Step], days: Iterable[date]) -> Believed:
    """The chances of futures on these steps and days, whose levels drift as the priors have it."""
    return Believed(
        drawn.in_single_precision(),
        [kind_of(step) for step in steps],
        [day.weekday() for day in days],
        PRIORS.drift,
    )
