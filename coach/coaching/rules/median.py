"""The day by which half have settled, from the Kaplan-Meier curve of "not settled".

Sources: Kaplan & Meier 1958, Journal of the American Statistical Association 53:457; the interval is that of
Brookmeyer & Crowley 1982, Biometrics 38:29, by the log-log transformation. A spell that ended in another way,
or is open, is censored: the curve says what it would be if nobody stopped otherwise, and is said to be that.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import isnan
from typing import TYPE_CHECKING, NamedTuple

from coach.coaching.rules.counts import at_risk_by_day, by_day
from coach.coaching.rules.wilson import Z
from coach.progress.returning import DECIMALS

if TYPE_CHECKING:
    from collections.abc import Sequence

    import numpy as np
    from numpy.typing import NDArray
    from scipy.stats import CensoredData

    from coach.coaching.rules.counts import Count
    from coach.ground.spells import Ending

    Floats = NDArray[np.float64]
    Integers = NDArray[np.int64]

HALF = 0.5


class Median(NamedTuple):
    """The first day by whose end half have settled, and its 95 % interval; None where that is not reached."""

    day: int | None
    low: int | None
    high: int | None


@dataclass(frozen=True, slots=True)
class Curve:
    """The Kaplan-Meier curve of "not yet", after each day on which somebody did.

    Attributes:
        days: Those days, the earliest first.
        at_risk: Spells at risk as each begins.
        ends: How many did on each.
        share: The share that had not by the end of each.
        error: Its standard error by Greenwood's formula; 0 where nobody is left.
        low: The lower end of its 95 % interval, log-log; None where that cannot be said.
        high: The upper end.
    """

    days: tuple[int, ...]
    at_risk: tuple[int, ...]
    ends: tuple[int, ...]
    share: tuple[float, ...]
    error: tuple[float, ...]
    low: tuple[float | None, ...]
    high: tuple[float | None, ...]


NOTHING_SEEN = Curve((), (), (), (), (), (), ())


def curve(counts: Sequence[Count], event: Ending = "settled") -> Curve:
    """The Kaplan-Meier curve of not having ended in one way, with all other ends censored."""
    import numpy as np  # noqa: PLC0415  no page of a household waits for it
    from scipy.stats import ecdf  # noqa: PLC0415  the same

    ends_by_day = by_day(counts, (event,))
    (days,) = np.nonzero(ends_by_day)
    if not len(days):
        return NOTHING_SEEN
    share = ecdf(censored(counts, event)).sf.evaluate(days)
    at_risk, ends = at_risk_by_day(counts)[days], ends_by_day[days]
    error = _greenwood(at_risk, ends, share)
    low, high = _interval(share, error)
    return Curve(
        days=tuple(days.tolist()),
        at_risk=tuple(at_risk.tolist()),
        ends=tuple(ends.tolist()),
        share=tuple(share.tolist()),
        error=tuple(error.tolist()),
        low=_said(low),
        high=_said(high),
    )


def median(counts: Sequence[Count], event: Ending = "settled") -> Median:
    """The first day by whose end half have ended in one way, all other ends censored, with its interval."""
    found = curve(counts, event)
    return Median(*(_first_half(found.days, column) for column in (found.share, found.low, found.high)))


def censored(counts: Sequence[Count], event: Ending) -> CensoredData:
    """Spells as SciPy takes them: the days of those that ended in one way, and of all others as censored."""
    from scipy.stats import CensoredData  # noqa: PLC0415  as above

    seen = [count for count in counts if count.days > 0]
    ended = _days([count for count in seen if count.ending == event])
    return CensoredData(ended, right=_days([count for count in seen if count.ending != event]))


def _days(counts: Sequence[Count]) -> Floats:
    import numpy as np  # noqa: PLC0415  as above

    days = np.array([count.days for count in counts], dtype=np.float64)
    return np.repeat(days, [count.households for count in counts])


def _greenwood(at_risk: Integers, ends: Integers, share: Floats) -> Floats:
    """Greenwood's standard error, S·sqrt(sum of d / (n (n - d)))."""
    import numpy as np  # noqa: PLC0415  as above

    left = at_risk - ends
    terms = np.divide(ends, at_risk * left, out=np.zeros(len(ends)), where=left > 0)
    error: Floats = share * np.sqrt(np.cumsum(terms))
    return error


def _interval(share: Floats, error: Floats) -> tuple[Floats, Floats]:
    """The 95 % interval that is even on the scale of log(-log S); not a number where nobody is left.

    SciPy's own gives the same and a warning wherever S is 0 or 1, which among threads cannot be kept quiet.
    """
    import numpy as np  # noqa: PLC0415  as above

    with np.errstate(divide="ignore", invalid="ignore"):
        slope = np.log(share)
        half = Z * error / (share * -slope)
        return np.exp(slope * np.exp(half)), np.exp(slope * np.exp(-half))


def _said(column: Floats) -> tuple[float | None, ...]:
    """The values, with None for those that are no number."""
    return tuple(None if isnan(value) else value for value in column.tolist())


def _first_half(days: Sequence[int], column: Sequence[float | None]) -> int | None:
    """The first day on which a column is at most a half."""
    pairs = zip(days, column, strict=True)
    # As shares are compared everywhere, at 9 decimals: a product of shares may miss a half by less.
    return next((day for day, value in pairs if value is not None and round(value, DECIMALS) <= HALF), None)
