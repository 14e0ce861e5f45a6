"""Cumulative incidence of each end by the estimator of Aalen and Johansen.

Source: Aalen & Johansen 1978, Scandinavian Journal of Statistics 5:141. With n at risk as a day begins, and
d of them ending in one way on it, that way's share grows by S·d/n, where S is the share still at it as the
day begins. All ends of a day count at once; a spell that is open after so many days was at risk on its last.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from coach.coaching.rules.counts import ENDS, at_risk_by_day, by_day

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from coach.coaching.rules.counts import Count
    from coach.ground.spells import Ending


@dataclass(frozen=True, slots=True)
class Incidence:
    """The shares after each day on which a spell ended, the earliest first.

    Attributes:
        days: Those days; the day of introduction is 1.
        at_risk: Spells at risk as each of them begins.
        ends: For each way of ending how many did so on each of them.
        shares: For each way of ending its share by the end of each of them.
        still: The share still at it by the end of each; it and the shares are 1 together.
    """

    days: tuple[int, ...]
    at_risk: tuple[int, ...]
    ends: Mapping[Ending, tuple[int, ...]]
    shares: Mapping[Ending, tuple[float, ...]]
    still: tuple[float, ...]

    def rows(self) -> list[tuple[int, float, float, float, float]]:
        """Day, settled, set aside, lapsed and left, a row for each day on which a spell ended."""
        columns = (self.shares[ending] for ending in ENDS)
        return list(zip(self.days, *columns, strict=True))


def incidence(counts: Sequence[Count]) -> Incidence:
    """The cumulative incidence of each end.

    Args:
        counts: Spells as they are counted, in any order; those of no day yet are at risk of nothing.
    """
    import numpy as np  # noqa: PLC0415  no page of a household waits for it

    ends = {ending: by_day(counts, (ending,)) for ending in ENDS}
    together = np.sum(list(ends.values()), axis=0)
    at_risk = at_risk_by_day(counts)
    (days,) = np.nonzero(together)
    still = np.cumprod(1.0 - together[days] / at_risk[days])
    before = np.concatenate(([1.0], still[:-1]))
    shares = {ending: np.cumsum(before * ends[ending][days] / at_risk[days]) for ending in ENDS}
    return Incidence(
        days=tuple(days.tolist()),
        at_risk=tuple(at_risk[days].tolist()),
        ends={ending: tuple(ends[ending][days].tolist()) for ending in ENDS},
        shares={ending: tuple(shares[ending].tolist()) for ending in ENDS},
        still=tuple(still.tolist()),
    )
