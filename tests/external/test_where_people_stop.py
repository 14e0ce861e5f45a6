"""The estimates of where people stop against published figures, SciPy and samples whose truth is known.

Sources: remission in weeks under 6-mercaptopurine and placebo, Freireich et al. 1963, Blood 21:699, and Gehan
1965, Biometrika 52:203; the shares and the log-rank statistic of these stand in many books on survival, the
errors follow by arithmetic. Wilson's intervals: cases of Newcombe 1998, Statistics in Medicine 17:857.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from coach.coaching.rules.counts import Count
from coach.coaching.rules.incidence import incidence
from coach.coaching.rules.logrank import compared
from coach.coaching.rules.median import Median, censored, curve, median
from coach.coaching.rules.wilson import share

SIX_MP = "6 6 6 6+ 7 9+ 10 10+ 11+ 13 16 17+ 19+ 20+ 22 23 25+ 32+ 32+ 34+ 35+"
PLACEBO = "1 1 2 2 3 4 4 5 5 8 8 8 8 11 11 12 12 15 17 22 23"
SAMPLES = 2000


def spells(weeks: str) -> list[Count]:
    """Remissions as spells: those that ended have settled, those with a plus are open."""
    return [Count(int(one.strip("+")), "open" if "+" in one else "settled", 1) for one in weeks.split()]


def test_kaplan_and_meiers_curve_with_greenwoods_errors() -> None:
    found = curve(spells(SIX_MP))
    assert found.days == (6, 7, 10, 13, 16, 22, 23)
    assert found.at_risk == (21, 17, 15, 12, 11, 7, 6)
    assert found.share == pytest.approx(
        [0.857143, 0.806723, 0.752941, 0.690196, 0.627451, 0.537815, 0.448179], abs=5e-7
    )
    assert found.error == pytest.approx(
        [0.076360, 0.086935, 0.096350, 0.106815, 0.114054, 0.128234, 0.134591], abs=5e-7
    )


def test_the_medians_of_both_arms() -> None:
    assert median(spells(SIX_MP)).day == 23
    assert median(spells(PLACEBO)).day == 8


def test_the_log_rank_test_of_both_arms() -> None:
    found = compared(spells(SIX_MP), spells(PLACEBO))
    assert found.chi_square == pytest.approx(16.792941, abs=5e-7)
    assert found.p == pytest.approx(4.1688e-5, abs=5e-10)
    assert found.events == (9, 21)


@pytest.mark.parametrize("weeks", [SIX_MP, PLACEBO])
def test_the_interval_of_the_curve_is_scipys(weeks: str) -> None:
    found = curve(spells(weeks))
    bound = stats.ecdf(censored(spells(weeks), "settled")).sf
    with pytest.warns(RuntimeWarning) if weeks == PLACEBO else np.errstate():
        theirs = bound.confidence_interval(0.95, method="log-log")
    inner = [place for place, one in enumerate(found.low) if one is not None]
    days = [found.days[place] for place in inner]
    assert [found.low[place] for place in inner] == pytest.approx(theirs.low.evaluate(days), rel=1e-12)
    assert [found.high[place] for place in inner] == pytest.approx(theirs.high.evaluate(days), rel=1e-12)


def test_with_one_way_of_ending_incidence_is_what_the_curve_leaves() -> None:
    counts = spells(SIX_MP)
    assert incidence(counts).still == pytest.approx(curve(counts).share, abs=1e-15)


@pytest.mark.parametrize(
    ("count", "of", "low", "high"),
    [
        (81, 263, 0.255289, 0.366210),
        (15, 148, 0.062386, 0.160487),
        (0, 20, 0, 0.161125),
        (1, 29, 0.006113, 0.171755),
    ],
)
def test_wilsons_intervals(count: int, of: int, low: float, high: float) -> None:
    found = share(count, of)
    assert (found.low, found.high) == pytest.approx((low, high), abs=5e-7)
    theirs = stats.binomtest(count, of).proportion_ci(0.95, method="wilson")
    assert (found.low, found.high) == pytest.approx((theirs.low, theirs.high), abs=1e-12)


@pytest.mark.parametrize(("households", "seed"), [(15, 1), (40, 2)])
def test_the_medians_interval_holds_the_truth_as_often_as_it_says(households: int, seed: int) -> None:
    # Half settle by day 40 if nobody stops otherwise; others stop, or are open on day 120 at the latest.
    chance = np.random.default_rng(seed)
    held = sum(_holds(_sample(chance, households), 40) for _ in range(SAMPLES))
    assert 0.92 <= held / SAMPLES <= 0.98


def _sample(chance: np.random.Generator, households: int) -> list[Count]:
    settle = np.ceil(chance.exponential(40 / np.log(2), households))
    stop = np.ceil(chance.exponential(200, households))
    days = np.minimum(np.minimum(settle, stop), 120).astype(int)
    return [
        Count(day, "settled" if day == first else "lapsed" if day < 120 else "open", 1)
        for day, first in zip(days.tolist(), settle.tolist(), strict=True)
    ]


def _holds(counts: list[Count], truth: int) -> bool:
    found: Median = median(counts)
    return (found.low or 0) <= truth and (found.high is None or truth <= found.high)
