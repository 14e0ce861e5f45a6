"""What is believed of a household before its first mark: the forecast's first numbers, each with its why.

All of them are design choices. There is no evidence for any of them, and docs/pace-model.md says so. They are
wide on purpose: after two weeks of a household's own log they matter little, and before that they keep a
handful of outcomes from being taken for the whole truth.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple


class Beta(NamedTuple):
    """A Beta distribution of a chance.

    Attributes:
        yes: One more than the times it was seen to happen, from a uniform prior; it need not be whole.
        no: The same of the times it was not.
    """

    yes: float
    no: float

    def after(self, happened: int, of: int) -> Beta:
        """The posterior once it has happened so many times of so many (conjugate: counts are added)."""
        return Beta(self.yes + happened, self.no + of - happened)


ONE_IN_TWENTY = Beta(1.0, 19.0)
ONE_IN_TWO = Beta(2.0, 2.0)


@dataclass(frozen=True, slots=True)
class Priors:
    """The priors of one household; levels and effects are logits, spreads are standard deviations.

    Attributes:
        level: Mean of the level on the first day: 1.1 is three due lines of four kept, what a household that
            chose to begin may well do, and neither all nor half.
        level_spread: 1.0 lets the middle 80 % of households keep from 45 % to 92 %: nearly all that is seen.
        drift: What the level moves by in a day. 0.05 adds up to 0.3 in a month and 1.0 in a year, as much as
            households differ: in a year one may become another. A filter forgets a share of `drift *
            sqrt(information)` a day; five lines kept four times of five carry 5 * 0.8 * 0.2 = 0.8, so it
            forgets some 4.5 % a day, and a day two weeks ago weighs half of today. At 0.03 (3 % a day) thirty
            days at 0.4 after sixty at 0.9 were still taken for 0.6.
        kind_spread: 0.5 lets mornings and evenings of one household differ as 75 % and 83 % do, or, seldom,
            as 60 % and 85 %; a kind without outcomes borrows from the others this closely.
        weekday_spread: 0.6, a little more than kinds, since work shapes weekdays more than parts of the day;
            one weekday that nearly always fails lies far out, and is believed after some weeks.
        quiet_begins: The chance that a quiet spell begins on a day: one in twenty, worth twenty days of a
            log.
        quiet_ends: The chance that it ends on a day: most spells last a day or three, worth four days of a
            log; a household that stays away for long is not ruled out.
    """

    level: float = 1.1
    level_spread: float = 1.0
    drift: float = 0.05
    kind_spread: float = 0.5
    weekday_spread: float = 0.6
    quiet_begins: Beta = ONE_IN_TWENTY
    quiet_ends: Beta = ONE_IN_TWO


PRIORS = Priors()
