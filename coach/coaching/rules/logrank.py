"""One comparison of two lots of spells by the log-rank test: which of them end in one way sooner.

Source: Mantel 1966, Cancer Chemotherapy Reports 50:163. Other ends are censored.
"""

from __future__ import annotations

from math import isfinite
from typing import TYPE_CHECKING, NamedTuple

from coach.coaching.rules.counts import by_day
from coach.coaching.rules.median import censored

if TYPE_CHECKING:
    from collections.abc import Sequence

    from coach.coaching.rules.counts import Count
    from coach.ground.spells import Ending


class Compared(NamedTuple):
    """What one log-rank test says.

    Attributes:
        chi_square: With one degree of freedom; None where there is nothing to compare, as without events.
        p: How often chance alone would make a difference as large; None with it.
        events: How many ended so in the first lot and in the second.
    """

    chi_square: float | None
    p: float | None
    events: tuple[int, int]


def compared(first: Sequence[Count], second: Sequence[Count], event: Ending = "settled") -> Compared:
    """Two lots of spells held against each other."""
    import numpy as np  # noqa: PLC0415  no page of a household waits for it
    from scipy.stats import logrank  # noqa: PLC0415  the same

    events = (int(by_day(first, (event,)).sum()), int(by_day(second, (event,)).sum()))
    if not any(events):
        return Compared(None, None, events)
    with np.errstate(divide="ignore", invalid="ignore"):
        found = logrank(censored(first, event), censored(second, event))
    statistic = float(found.statistic)
    # Nobody of one lot was at risk when anybody of the other ended so.
    if not isfinite(statistic):
        return Compared(None, None, events)
    return Compared(statistic**2, float(found.pvalue), events)
