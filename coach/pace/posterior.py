"""What is believed of a household after its log: how it keeps its lines now, and how it goes quiet.

The model (docs/pace-model.md). On a day that is not quiet a line of kind k on weekday w is kept with chance
1 / (1 + exp(-(level + kinds[k] + weekdays[w]))), each by itself; the level takes a random step every day.
Quiet spells begin and end as a Markov chain of two states does, and their chances have Beta posteriors
(Gelman et al., Bayesian Data Analysis, 2.4). The logits have none in closed form. Their mode is found by
Newton's method; the normal distribution there is Laplace's approximation. Draws from it, with wider tails,
are weighted by what the posterior really is and drawn again (importance resampling), since the true one is
skew where nearly all was kept. The tests hold the draws to the model.

Days older than 28 weeks are left out: at the prior's drift they weigh less than a thousandth of today. Within
spans of a week, and longer ones further back, the level is taken as that of the middle.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from itertools import accumulate
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from coach.pace.evidence import KINDS
from coach.pace.priors import PRIORS

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from coach.pace.evidence import DayTold, Evidence
    from coach.pace.priors import Beta, Priors

    Floats = NDArray[np.float64]

WEEKDAYS = 7
SPANS = (7, 7, 7, 7, 14, 14, 28, 28, 84)
"""How many days share one level, from the latest day back; what is older is left out."""
OLDEST = sum(SPANS)
_AGES = tuple(accumulate(SPANS))
_TAILS = 8.0  # degrees of freedom of the draws' t distribution: as good as normal where many outcomes tell
_FEWEST_DRAWS = 1000  # of fewer the weights say too little
_MOST_STEPS = 50
_CLOSE = 1e-9
_STEEPEST = 500.0  # chances are 1 from a logit of 37 on, and exp overflows at 710


@dataclass(frozen=True, slots=True)
class Drawn:
    """Households as this one may be, one for each future.

    Attributes:
        level: The level on the day after the last one taken in; shape (futures,).
        kinds: What is added for each kind; shape (kinds, futures).
        weekdays: What is added on each weekday, Monday first; shape (7, futures).
        begins: The chance that a quiet spell begins on a day; shape (futures,).
        ends: The chance that one ends on a day; shape (futures,).
    """

    level: Floats
    kinds: Floats
    weekdays: Floats
    begins: Floats
    ends: Floats

    def taken(self, which: NDArray[np.bool_]) -> Drawn:
        """Some of the households, by whether to take each."""
        return Drawn(**{part.name: getattr(self, part.name)[..., which] for part in fields(self)})

    def in_single_precision(self) -> Drawn:
        """The same, of half the size: enough for chances."""
        return Drawn(**{part.name: getattr(self, part.name).astype(np.float32) for part in fields(self)})


class _Cells(NamedTuple):
    """Outcomes of one span, kind and weekday together: how many were kept, of how many, and their logits.

    `picks` has one row for each cell and one column for each unknown: what its logit is the sum of.
    """

    kept: Floats
    outcomes: Floats
    picks: Floats


@dataclass(frozen=True, slots=True)
class Posterior:
    """The posterior of one household.

    The unknowns are the level of each span that told something, the latest first, then the kinds and
    weekdays.

    Attributes:
        mode: The most likely unknowns; shape (unknowns,).
        covariance: Laplace's; shape (unknowns, unknowns).
        moves: Variance of what the level moves from the middle of the latest span to the day ahead.
        begins: The chance that a quiet spell begins on a day.
        ends: The chance that one ends on a day.
    """

    mode: Floats
    covariance: Floats
    moves: float
    begins: Beta
    ends: Beta
    cells: _Cells
    prior: tuple[Floats, Floats]

    def draw(self, rng: np.random.Generator, futures: int) -> Drawn:
        """Draw households as this one may be.

        Args:
            rng: Where chance comes from; the same one gives the same draws.
            futures: How many.
        """
        unknowns = self._unknowns(rng, futures)
        steps = rng.standard_normal(futures) * self.moves**0.5
        return Drawn(
            level=unknowns[0] + steps,
            kinds=unknowns[-KINDS - WEEKDAYS : -WEEKDAYS],
            weekdays=unknowns[-WEEKDAYS:],
            begins=rng.beta(*self.begins, futures),
            ends=rng.beta(*self.ends, futures),
        )

    def _unknowns(self, rng: np.random.Generator, futures: int) -> Floats:
        """Draws of the unknowns, weighted by what the posterior really is; shape (unknowns, futures)."""
        size, many = len(self.mode), max(futures, _FEWEST_DRAWS)
        root = np.linalg.cholesky(self.covariance)
        normal = rng.standard_normal((size, many))
        if not len(self.cells.kept):
            return self.mode[:, None] + root @ normal[:, :futures]
        stretch = np.sqrt(_TAILS / rng.chisquare(_TAILS, many))
        draws = self.mode[:, None] + root @ (normal * stretch)
        square = np.einsum("uf,uf->f", normal, normal) * stretch**2
        proposed = -0.5 * (_TAILS + size) * np.log1p(square / _TAILS)
        weights = _log_posterior(draws, self.cells, self.prior) - proposed
        return draws[:, _resampled(rng, weights, futures)]


def posterior(evidence: Evidence, priors: Priors = PRIORS) -> Posterior:
    """The posterior of a household after what its log told."""
    ahead = evidence.through.toordinal() + 1
    found = _spans(evidence.told, ahead - 1)
    middles = [middle for middle, _ in found] or [float(ahead)]
    prior = _prior(middles, evidence.started.toordinal(), priors)
    cells = _cells([days for _, days in found])
    mode, covariance = _laplace(cells, prior)
    begins, ends = _chain(evidence, ahead - OLDEST, priors)
    moves = priors.drift**2 * (ahead - middles[0])
    return Posterior(mode, covariance, moves, begins, ends, cells, prior)


def _chain(evidence: Evidence, since: int, priors: Priors) -> tuple[Beta, Beta]:
    """The chances that a quiet spell begins and ends, each from the days on which it could have."""
    spells = [day for day in evidence.spells if day.date.toordinal() >= since]
    there = [day.quiet for day in spells if day.before is False]
    away = [not day.quiet for day in spells if day.before]
    return (
        priors.quiet_begins.after(sum(there), len(there)),
        priors.quiet_ends.after(sum(away), len(away)),
    )


def _spans(told: Sequence[DayTold], last: int) -> list[tuple[float, list[DayTold]]]:
    """The spans that told something, the latest first: the mean of their days as an ordinal, and the days."""
    found, begun = [], 0
    for age in _AGES:
        days = [day for day in told if begun <= last - day.date.toordinal() < age]
        if days:
            found.append((sum(day.date.toordinal() for day in days) / len(days), days))
        begun = age
    return found


def _prior(middles: Sequence[float], first: int, priors: Priors) -> tuple[Floats, Floats]:
    """Mean and precision of the unknowns before any outcome.

    A random walk's covariance at two times is its variance at the earlier one.
    """
    times = np.maximum(np.array(middles) - first, 0.0)
    levels = priors.level_spread**2 + priors.drift**2 * np.minimum.outer(times, times)
    size = len(times) + KINDS + WEEKDAYS
    mean, precision = np.zeros(size), np.zeros((size, size))
    mean[: len(times)] = priors.level
    precision[: len(times), : len(times)] = np.linalg.inv(levels)
    spreads = [priors.kind_spread] * KINDS + [priors.weekday_spread] * WEEKDAYS
    effects = np.arange(len(times), size)
    precision[effects, effects] = np.power(spreads, -2.0)
    return mean, precision


def _cells(spans: Sequence[Sequence[DayTold]]) -> _Cells:
    shape = (max(len(spans), 1), KINDS, WEEKDAYS)
    kept, outcomes = np.zeros(shape), np.zeros(shape)
    for place, days in enumerate(spans):
        for day in days:
            weekday = day.date.weekday()
            kept[place, :, weekday] += day.kept
            outcomes[place, :, weekday] += day.outcomes
    spanned, kinds, weekdays = np.nonzero(outcomes)
    picks = np.zeros((len(spanned), shape[0] + KINDS + WEEKDAYS))
    rows = np.arange(len(spanned))
    for column in (spanned, shape[0] + kinds, shape[0] + KINDS + weekdays):
        picks[rows, column] = 1.0
    return _Cells(kept[spanned, kinds, weekdays], outcomes[spanned, kinds, weekdays], picks)


def _laplace(cells: _Cells, prior: tuple[Floats, Floats]) -> tuple[Floats, Floats]:
    """Mode and covariance, by Newton's method; a step that overshoots is halved."""
    mode, precision = prior[0].copy(), prior[1]
    best = _log_posterior(mode[:, None], cells, prior)[0]
    for _ in range(_MOST_STEPS):
        slope, curvature = _slope(mode, cells, prior)
        step = np.linalg.solve(curvature, slope)
        now = _log_posterior((mode + step)[:, None], cells, prior)[0]
        while now < best - _CLOSE:
            step /= 2.0
            now = _log_posterior((mode + step)[:, None], cells, prior)[0]
        mode, best = mode + step, now
        if np.abs(step).max() < _CLOSE**0.5:
            break
    precision = _slope(mode, cells, prior)[1]
    return mode, np.asarray(np.linalg.inv(precision), dtype=np.float64)


def _slope(unknowns: Floats, cells: _Cells, prior: tuple[Floats, Floats]) -> tuple[Floats, Floats]:
    """The first derivative of the log posterior, and the second with its sign turned."""
    mean, precision = prior
    chance = 1.0 / (1.0 + np.exp(-cells.picks @ unknowns))
    slope = cells.picks.T @ (cells.kept - cells.outcomes * chance) - precision @ (unknowns - mean)
    weight = cells.outcomes * chance * (1.0 - chance)
    return slope, cells.picks.T @ (weight[:, None] * cells.picks) + precision


def _log_posterior(unknowns: Floats, cells: _Cells, prior: tuple[Floats, Floats]) -> Floats:
    """The log of the posterior but for a constant, for each column; shape (columns,)."""
    mean, precision = prior
    logits = cells.picks @ unknowns
    away = unknowns - mean[:, None]
    likely = cells.kept @ logits - cells.outcomes @ np.log(1.0 + np.exp(np.minimum(logits, _STEEPEST)))
    found: Floats = likely - 0.5 * np.einsum("uf,uf->f", away, precision @ away)
    return found


def _resampled(rng: np.random.Generator, weights: Floats, many: int) -> NDArray[np.intp]:
    """Which draws to take, each in proportion to its weight, by one random number for all; in any order."""
    share = np.exp(weights - weights.max())
    ends = np.cumsum(share / share.sum())
    places = (np.arange(many) + rng.random()) / many
    return rng.permutation(np.minimum(np.searchsorted(ends, places), len(share) - 1))
