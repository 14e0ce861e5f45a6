"""A chance after counts: the posterior of Gelman et al., Bayesian Data Analysis, for 437 of 980 births."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from coach.pace.priors import Beta

UNIFORM = Beta(1.0, 1.0)
SEEN = UNIFORM.after(437, 980)
MEAN, SPREAD = 0.44602851, 0.01585434
LOWER, UPPER = 0.41506549, 0.47719977


def test_mean_and_spread_are_those_of_the_book() -> None:
    found = stats.beta(*SEEN)
    assert found.mean() == pytest.approx(MEAN, abs=5e-9)
    assert found.std() == pytest.approx(SPREAD, abs=5e-9)


def test_the_central_95_percent_are_those_of_the_book() -> None:
    assert stats.beta(*SEEN).interval(0.95) == pytest.approx((LOWER, UPPER), abs=5e-9)


def test_the_forecasts_draws_of_it_are_within_chance() -> None:
    """The mean of a million draws has a standard error of 1.6e-5."""
    draws = np.random.default_rng(437).beta(*SEEN, 1_000_000)
    assert draws.mean() == pytest.approx(MEAN, abs=8e-5)
    assert np.quantile(draws, [0.025, 0.975]) == pytest.approx([LOWER, UPPER], abs=3e-4)
