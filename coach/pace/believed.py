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
        logits = self.drawn.kinds + (self.drawn.level + self.drawn.weekdays[self.weekdays[day]])
        odds = np.exp(np.minimum(-logits, _SURELY_NOT).astype(np.float32))
        chances: NDArray[np.float32] = 1.0 / (1.0 + odds)
        return chances[list(self.kinds)]

    def quiet_begins(self) -> NDArray[np.float32]:
        """(H,) the same every day."""
        return self.drawn.begins.astype(np.float32)

    def quiet_ends(self) -> NDArray[np.float32]:
        """(H,) the same every day."""
        return self.drawn.ends.astype(np.float32)

    def pass_night(self, generator: np.random.Generator) -> None:
        """Let the levels drift from one day to the next."""
        level = self.drawn.level
        self.drawn = replace(self.drawn, level=level + self.drift * generator.standard_normal(level.size))

    def taken(self, which: NDArray[np.bool_]) -> Believed:
        """Some of the futures."""
        return replace(self, drawn=self.drawn.taken(which))


def believed_of(drawn: Drawn, steps: Iterable[Step], days: Iterable[date]) -> Believed:
    """The chances of futures on these steps and days, whose levels drift as the priors have it."""
    return Believed(drawn, [kind_of(step) for step in steps], [day.weekday() for day in days], PRIORS.drift)
