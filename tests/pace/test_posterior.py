"""The posterior: held to the model it is of, and to what anyone would conclude from a plain log."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from scipy import stats

from coach.pace.evidence import DayTold, Evidence, Kind, Quiet
from coach.pace.posterior import OLDEST, WEEKDAYS, Drawn, posterior
from coach.pace.priors import PRIORS
from pace.lived import STARTED, Household, from_the_model, with_outcomes

DAILY = slice(Kind.MORNING, Kind.EVENING + 1)
AHEAD = 14
HOUSEHOLDS = 1000
FUTURES = 500
MONDAY, TUESDAY = 0, 1


def chance(logit: np.ndarray) -> np.ndarray:
    return np.asarray(1.0 / (1.0 + np.exp(-logit)))


def drawn(evidence: Evidence, futures: int = 4000) -> Drawn:
    return posterior(evidence).draw(np.random.default_rng(20), futures)


def rate(found: Drawn, kind: Kind, weekday: int) -> float:
    """The mean chance that a line of a kind is kept on a weekday, tomorrow."""
    return float(chance(found.level + found.kinds[kind] + found.weekdays[weekday]).mean())


def mean_rate(found: Drawn, kind: Kind) -> float:
    return float(np.mean([rate(found, kind, weekday) for weekday in range(WEEKDAYS)]))


def mean_logit_ahead(found: Drawn, rng: np.random.Generator) -> np.ndarray:
    drifted = found.level + rng.normal(0.0, PRIORS.drift * AHEAD**0.5, found.level.shape)
    return np.asarray(drifted + found.kinds[DAILY].mean(axis=0) + found.weekdays.mean(axis=0))


def truth_ahead(lived: Household, rng: np.random.Generator) -> float:
    drifted = lived.level + rng.normal(0.0, PRIORS.drift * AHEAD**0.5)
    return float(drifted + lived.kinds[DAILY].mean() + lived.weekdays.mean())


def place_of(truth: float, draws: np.ndarray, rng: np.random.Generator) -> float:
    """Where among the draws the truth stands, from 0 to 1: uniform if it is one of them."""
    return float((np.sum(draws < truth) + rng.random()) / (len(draws) + 1))


@pytest.fixture(scope="module", params=[7, 14, 28], ids="after {} days".format)
def places(request: pytest.FixtureRequest) -> dict[str, np.ndarray]:
    """For 1,000 households of the model, where each truth stands in its posterior."""
    rng = np.random.default_rng([4, request.param])
    found: dict[str, list[float]] = {"ahead": [], "monday": [], "seldom": [], "begins": [], "ends": []}
    for _ in range(HOUSEHOLDS):
        lived = from_the_model(rng, request.param)
        draws = posterior(lived.evidence).draw(rng, FUTURES)
        pairs = {
            "ahead": (truth_ahead(lived, rng), mean_logit_ahead(draws, rng)),
            "monday": (lived.level + lived.weekdays[MONDAY], draws.level + draws.weekdays[MONDAY]),
            "seldom": (lived.level + lived.kinds[Kind.SELDOM], draws.level + draws.kinds[Kind.SELDOM]),
            "begins": (lived.begins, draws.begins),
            "ends": (lived.ends, draws.ends),
        }
        for name, (truth, values) in pairs.items():
            found[name].append(place_of(float(truth), values, rng))
    return {name: np.array(values) for name, values in found.items()}


def test_four_of_five_intervals_of_80_percent_hold_the_mean_logit_two_weeks_ahead(
    places: dict[str, np.ndarray],
) -> None:
    held = np.mean((places["ahead"] > 0.1) & (places["ahead"] < 0.9))
    assert 0.77 <= held <= 0.83


@pytest.mark.parametrize("name", ["ahead", "monday", "seldom", "begins", "ends"])
def test_the_truth_stands_anywhere_among_the_draws(places: dict[str, np.ndarray], name: str) -> None:
    assert stats.kstest(places[name], "uniform").pvalue > 0.01


def test_before_the_first_day_the_draws_are_the_priors() -> None:
    found = drawn(Evidence(STARTED, STARTED - timedelta(days=1)))
    for values, mean, spread in (
        (found.level, PRIORS.level, PRIORS.level_spread),
        (found.kinds.ravel(), 0.0, PRIORS.kind_spread),
        (found.weekdays.ravel(), 0.0, PRIORS.weekday_spread),
    ):
        assert stats.kstest(values, stats.norm(mean, spread).cdf).pvalue > 0.01
    assert stats.kstest(found.begins, stats.beta(*PRIORS.quiet_begins).cdf).pvalue > 0.01
    assert stats.kstest(found.ends, stats.beta(*PRIORS.quiet_ends).cdf).pvalue > 0.01


def test_a_log_that_told_nothing_lets_the_level_drift_all_the_while() -> None:
    believed = posterior(Evidence(STARTED, STARTED + timedelta(days=99)))
    assert believed.covariance[0, 0] == pytest.approx(PRIORS.level_spread**2 + 100 * PRIORS.drift**2)
    assert believed.moves == 0.0


def test_a_kind_without_outcomes_is_as_before() -> None:
    believed = posterior(with_outcomes(28, (2, 2, 2, 0), lambda *_: (2, 1, 0, 0)))
    seldom = -WEEKDAYS - 1
    assert believed.mode[seldom] == pytest.approx(0.0, abs=1e-9)
    assert believed.covariance[seldom, seldom] == pytest.approx(PRIORS.kind_spread**2)


def test_a_kind_without_outcomes_borrows_the_level_of_the_others() -> None:
    seldom_kept = drawn(with_outcomes(28, (2, 2, 2, 0), lambda *_: (0, 1, 0, 0)))
    mostly_kept = drawn(with_outcomes(28, (2, 2, 2, 0), lambda *_: (2, 1, 2, 0)))
    assert mean_rate(seldom_kept, Kind.SELDOM) < 0.4
    assert mean_rate(mostly_kept, Kind.SELDOM) > 0.75


def test_many_outcomes_leave_their_own_rates() -> None:
    found = drawn(with_outcomes(OLDEST, (20, 20, 20, 20), lambda *_: (18, 10, 14, 4)))
    rates = [mean_rate(found, kind) for kind in Kind]
    assert rates == pytest.approx([0.9, 0.5, 0.7, 0.2], abs=0.015)


def test_sixty_days_at_nine_in_ten_are_forgotten_after_thirty_at_four() -> None:
    """Plain forgetting by 3 % a day would say 0.58 here."""
    found = drawn(with_outcomes(90, (0, 10, 0, 0), lambda _, day: (0, 9 if day < 60 else 4, 0, 0)))
    assert 0.4 < mean_rate(found, Kind.ANYTIME) < 0.47


def test_a_weekday_that_nearly_always_fails_is_found() -> None:
    """As large as in a real log of 1,825 days: Mondays 10 %, other days 66 to 75 % (Stat2Data, Marathon)."""
    found = drawn(with_outcomes(70, (0, 10, 0, 0), lambda on, _: (0, 7 if on.weekday() else 1, 0, 0)))
    assert rate(found, Kind.ANYTIME, MONDAY) < 0.2
    assert rate(found, Kind.ANYTIME, TUESDAY) == pytest.approx(0.7, abs=0.05)


def test_a_week_without_one_miss_is_not_taken_for_certainty() -> None:
    found = drawn(with_outcomes(7, (1, 0, 0, 0), lambda *_: (1, 0, 0, 0)))
    assert 0.75 < mean_rate(found, Kind.MORNING) < 0.95


@pytest.mark.parametrize("kept", [0, 40])
def test_a_log_all_of_one_kind_is_no_trouble(kept: int) -> None:
    found = drawn(with_outcomes(OLDEST, (40, 40, 40, 40), lambda *_: (kept,) * 4))
    assert abs(mean_rate(found, Kind.MORNING) - kept / 40) < 0.01


def test_what_is_older_than_28_weeks_is_left_out() -> None:
    recent = with_outcomes(OLDEST, (0, 4, 0, 0), lambda *_: (0, 2, 0, 0))
    earlier = date(2026, 1, 1)
    older = (DayTold(earlier, (0, 0, 0, 0), (0, 50, 0, 0)), *recent.told)
    spells = (Quiet(earlier, quiet=True, before=True), *recent.spells)
    longer = posterior(replace(recent, told=older, spells=spells))
    assert longer.mode == pytest.approx(posterior(recent).mode)
    assert (longer.begins, longer.ends) == (posterior(recent).begins, posterior(recent).ends)


def test_a_time_without_outcomes_widens_the_level() -> None:
    active = with_outcomes(28, (2, 2, 2, 0), lambda *_: (2, 1, 1, 0))
    before = posterior(active)
    after = posterior(replace(active, through=active.through + timedelta(days=60)))
    wider = after.covariance[0, 0] + after.moves - before.covariance[0, 0] - before.moves
    assert wider == pytest.approx(60 * PRIORS.drift**2, rel=0.1)
    draws = after.draw(np.random.default_rng(5), 4000)
    assert draws.level.var() == pytest.approx(after.covariance[0, 0] + after.moves, rel=0.1)


def test_quiet_spells_are_counted_where_they_could_begin_or_end() -> None:
    before: bool | None = False
    spells = []
    for day, letter in enumerate("..QQQ.Q..|Q."):  # a dot is a day that was not quiet, a bar a pause
        if letter == "|":
            before = None
        else:
            spells.append(Quiet(STARTED + timedelta(days=day), letter == "Q", before))
            before = letter == "Q"
    believed = posterior(Evidence(STARTED, spells[-1].date, (), tuple(spells)))
    assert believed.begins == PRIORS.quiet_begins.after(2, 5)
    assert believed.ends == PRIORS.quiet_ends.after(3, 5)


def test_the_same_seed_draws_the_same() -> None:
    evidence = from_the_model(np.random.default_rng(1), 28).evidence
    one, two = drawn(evidence), drawn(evidence)
    assert np.array_equal(one.level, two.level)
    assert np.array_equal(one.kinds, two.kinds)
    assert np.array_equal(one.ends, two.ends)
