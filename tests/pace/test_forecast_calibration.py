"""The forecast held to its own model: 1,000 households made by it, and where their true dates fall.

All of them are followed at once, each with 59 futures, through the same parts that `forecast` is made of. Of
so few, a range that begins with the i-th and ends with the j-th holds one more of their kind with a chance of
(j - i) / (futures + 1); so it is asked for the share of them that makes this 0.8.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from datetime import date
from typing import TYPE_CHECKING

import numpy as np
import pytest
from scipy import stats

from coach.pace.evidence import evidence_of
from coach.pace.forecast import FEWEST_OUTCOMES, LONGEST, Household, forecast
from coach.pace.futures import NEVER, Futures
from coach.pace.posterior import Drawn, posterior
from coach.pace.ranges import around, quantile
from coach.progress.journal import Version, journal
from coach.progress.replay import begin, each_closed, open_on
from pace.whole_lives import COURSE, RULES, STARTED, Lives

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from coach.pace.evidence import Evidence
    from coach.progress.log import Row

AFTER = (7, 14, 28)
LIVED = 3700  # of so many, enough have told enough after a week
LOOKED_AT = 1650  # of so many, dates are said to 1,000 and more
HOUSEHOLDS = 1000
FUTURES = 59
LIKELY = 0.8
SHARE = (0.8 * (FUTURES + 1) + 1) / FUTURES


@dataclass(frozen=True)
class Foreseen:
    """For each household the true place of its last day of the ramp, and those of its futures, sorted."""

    truths: NDArray[np.int64]
    places: NDArray[np.int64]


@pytest.fixture(scope="module")
def lives() -> Lives:
    return Lives(np.random.default_rng(1), LIVED, max(AFTER) + LONGEST + 1, AFTER)


@pytest.fixture(scope="module", params=AFTER, ids="after {} days".format)
def foreseen(lives: Lives, request: pytest.FixtureRequest) -> Foreseen:
    after, generator = request.param, np.random.default_rng([7, request.param])
    block = lives.before[after]
    on_the_way = np.flatnonzero((block.waiting_left(RULES) > 0) & ~block.lapsed).tolist()
    told = {number: lives.evidence(number, after) for number in on_the_way}
    chosen = [number for number in on_the_way if told[number].outcomes >= FEWEST_OUTCOMES][:LOOKED_AT]
    each = np.repeat(chosen, FUTURES)
    believed = lives.believed(drawn_for_all([told[number] for number in chosen], generator))
    quiet = np.repeat([told[number].quiet for number in chosen], FUTURES)
    going = Futures(lives.follower, block.taken(each), believed, quiet, generator)
    going.follow(after, [False] * len(lives.days), lives.follower.reach)
    places = np.sort(going.settled_on.reshape(len(chosen), FUTURES), axis=1)
    return Foreseen(within_a_year(lives.settled_on[chosen], after), within_a_year(places, after))


def drawn_for_all(told: Sequence[Evidence], generator: np.random.Generator) -> Drawn:
    drawn = [posterior(evidence).draw(generator, FUTURES) for evidence in told]
    return Drawn(
        **{
            part.name: np.concatenate([getattr(one, part.name) for one in drawn], axis=-1)
            for part in fields(Drawn)
        }
    )


def within_a_year(places: NDArray[np.int64], after: int) -> NDArray[np.int64]:
    return np.where(places > after + LONGEST, NEVER, places)


def test_the_range_of_80_percent_holds_the_true_date_of_four_in_five(foreseen: Foreseen) -> None:
    said = [
        (truth, told)
        for truth, places in zip(foreseen.truths, foreseen.places, strict=True)
        if (told := around(places, SHARE, (quantile(places, 0.5), quantile(places, LIKELY))))[1] < NEVER
    ][:HOUSEHOLDS]
    held = np.mean([first <= truth <= last for truth, (first, last) in said])
    assert len(said) == HOUSEHOLDS
    assert 0.77 <= held <= 0.83


def test_the_true_date_stands_anywhere_among_the_futures(foreseen: Foreseen) -> None:
    """The randomised PIT: where futures are done on the same day, chance says how many come before."""
    generator = np.random.default_rng(8)
    truths, places = foreseen.truths[:HOUSEHOLDS, None], foreseen.places[:HOUSEHOLDS]
    sooner, same = (places < truths).sum(axis=1), (places == truths).sum(axis=1)
    stands = (sooner + generator.random(HOUSEHOLDS) * (same + 1)) / (FUTURES + 1)
    assert stats.kstest(stands, "uniform").pvalue > 0.01


def test_a_forecast_out_of_a_log_says_what_the_futures_of_the_check_say() -> None:
    """The same household taken up from its log and from the simulation, with other chances drawn."""
    after, many, compared = 20, 2000, 0
    lived = Lives(np.random.default_rng(4), 12, after + LONGEST + 1, [after], logs=True)
    for number, rows in enumerate(lived.rows):
        home = taken_up(rows, lived.days, after)
        found = forecast(home, 1, many)
        if found.cannot_say is not None:
            continue
        generator, each = np.random.default_rng(2), np.full(many, number)
        believed = lived.believed(posterior(home.evidence).draw(generator, many))
        quiet = np.full(many, home.evidence.quiet)
        going = Futures(lived.follower, lived.before[after].taken(each), believed, quiet, generator)
        going.follow(after, [False] * len(lived.days), lived.follower.reach)
        places = np.sort(going.settled_on)
        for said, chance in ((found.median, 0.5), (found.likely, LIKELY)):
            nearby = [lived.days[quantile(places, chance + error)] for error in (-0.05, 0.05)]
            assert said is not None
            assert nearby[0] <= said <= nearby[1]
        compared += 1
    assert compared >= 4


def taken_up(rows: Sequence[Row], dates: Sequence[date], after: int) -> Household:
    """A household out of its log, as the day after so many opens."""
    book = journal([Version(date.min, COURSE)], rows)
    state = begin(book)
    closed = each_closed(state, book, dates[0], dates[after - 1])
    evidence = evidence_of(STARTED, ((opening, state) for opening in closed))
    return Household(state, open_on(state, book, dates[after]), book, evidence)


def test_what_the_simulated_days_told_is_what_their_logs_tell() -> None:
    lived = Lives(np.random.default_rng(3), 30, 60, [60], logs=True)
    came_back = 0
    for number, rows in enumerate(lived.rows):
        book = journal([Version(date.min, COURSE)], rows)
        state = begin(book)
        closed = each_closed(state, book, STARTED, lived.days[59])
        found = evidence_of(STARTED, ((opening, state) for opening in closed))
        assert found == lived.evidence(number, 60)
        came_back += 8 * "Q" + "." in "".join("Q" if day.quiet else "." for day in found.spells)
    assert came_back > 0
