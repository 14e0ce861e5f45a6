"""How many outcomes it takes until a step settles, against published formulas and values computed elsewhere.

Sources: W. Feller, An Introduction to Probability Theory and Its Applications, vol. 1, 3rd ed., XIII.7, for
trials until k in a row are kept; the values for k of the latest n were computed by Markov-chain embedding
(J. C. Fu, Distribution of the scan statistic for a sequence of bistate trials, J. Appl. Prob. 38, 2001,
doi 10.1239/jap/1011994181).
"""

from __future__ import annotations

import math

import pytest

from coach.pace.settling import settling


@pytest.mark.parametrize("chance", [0.05, 0.3, 0.5, 0.8, 0.95])
@pytest.mark.parametrize("run", [1, 2, 3, 7, 14, 30])
def test_so_many_in_a_row_take_as_long_as_fellers_formula_says(run: int, chance: float) -> None:
    missed = 1 - chance
    power = chance**run
    found = settling(run, run, chance)
    assert found.mean == pytest.approx((1 - power) / (missed * power), rel=1e-9)
    variance = 1 / (missed * power) ** 2 - (2 * run + 1) / (missed * power) - chance / missed**2
    assert found.variance == pytest.approx(variance, rel=1e-6)


@pytest.mark.parametrize(
    ("chance", "run", "mean"),
    [(0.5, 3, 14), (0.5, 7, 254), (0.8, 7, 18.841858), (0.9, 7, 10.907516), (0.9, 14, 33.712422)],
)
def test_means_of_runs(chance: float, run: int, mean: float) -> None:
    assert settling(run, run, chance).mean == pytest.approx(mean, abs=1e-6)


def test_the_deviation_of_three_in_a_row() -> None:
    variance = settling(3, 3, 0.5).variance
    assert variance is not None
    assert math.sqrt(variance) == pytest.approx(11.916375, abs=1e-6)


@pytest.mark.parametrize(
    ("kept", "of", "chance", "mean", "within"),
    [
        (2, 3, 0.5, 14 / 3, 1e-9),
        (5, 7, 0.5, 17.889419, 1e-6),
        (5, 7, 0.6, 11.330884, 1e-6),
        (5, 7, 0.7, 8.200389, 1e-6),
        (5, 7, 0.8, 6.535603, 1e-6),
        (10, 14, 0.7, 17.2275, 1e-4),
        (10, 14, 0.8, 12.9880, 1e-4),
        (10, 14, 0.9, 11.1322, 1e-4),
        (12, 14, 0.8, 20.9089, 1e-4),
    ],
)
def test_means_of_so_many_of_the_latest(
    kept: int, of: int, chance: float, mean: float, within: float
) -> None:
    assert settling(kept, of, chance).mean == pytest.approx(mean, abs=within)
