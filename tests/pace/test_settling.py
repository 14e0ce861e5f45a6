"""The chain of a rule, against every string of outcomes and against a chain of all windows."""

from __future__ import annotations

from itertools import product
from math import comb

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coach.errors import Malformed
from coach.pace.settling import MOST_STATES, check_rule, oldest_of, settled_within, settling, states

LONG = 12


def settles_after(outcomes: tuple[int, ...], kept: int, of: int) -> int | None:
    """After how many outcomes the rule is met, read straight from its sentence."""
    for seen in range(1, len(outcomes) + 1):
        if sum(outcomes[max(0, seen - of) : seen]) >= kept:
            return seen
    return None


@st.composite
def rules(draw: st.DrawFn, most: int = 7) -> tuple[int, int]:
    of = draw(st.integers(1, most))
    return draw(st.integers(1, of)), of


@settings(max_examples=25)
@given(rules(), st.floats(0.02, 1.0))
def test_the_chances_are_those_of_all_strings_of_outcomes(rule: tuple[int, int], chance: float) -> None:
    by_hand = np.zeros(LONG + 1)
    for outcomes in product((0, 1), repeat=LONG):
        after = settles_after(outcomes, *rule)
        if after is not None:
            by_hand[after] += chance ** sum(outcomes) * (1 - chance) ** (LONG - sum(outcomes))
    assert settling(*rule, chance).spelled_out(LONG) == pytest.approx(by_hand[: LONG + 1], abs=1e-12)


@settings(max_examples=40)
@given(rules(10), st.floats(0.15, 0.98))
def test_the_mean_is_that_of_the_chain_of_all_windows(rule: tuple[int, int], chance: float) -> None:
    kept, of = rule
    size = 1 << of
    moves = np.zeros((size, size))
    for window in range(size):
        if window.bit_count() < kept:
            for outcome, part in ((0, 1 - chance), (1, chance)):
                after = ((window << 1) | outcome) & (size - 1)
                if after.bit_count() < kept:
                    moves[window, after] += part
    alive = [window for window in range(size) if window.bit_count() < kept]
    times = np.linalg.solve(np.eye(len(alive)) - moves[np.ix_(alive, alive)], np.ones(len(alive)))
    assert settling(kept, of, chance).mean == pytest.approx(times[alive.index(0)], rel=1e-8)


@settings(max_examples=30)
@given(rules(12))
def test_the_chain_has_as_many_states_as_can_still_matter(rule: tuple[int, int]) -> None:
    """Two windows are one state where whatever follows settles both at once or neither."""
    kept, of = rule

    def shortened(window: int) -> int:
        while window and window.bit_length() > of - kept + window.bit_count():
            window ^= 1 << (window.bit_length() - 1)
        return window

    reached, frontier = {0}, {0}
    while frontier:
        after = {(state << 1) | outcome for state in frontier for outcome in (0, 1)}
        frontier = {shortened(window) for window in after if window.bit_count() < kept} - reached
        reached |= frontier
    strings = sum(one.missed.size + one.kept.size for one in oldest_of(*rule))
    assert len(reached) == strings == states(*rule) == comb(of, kept - 1)


def test_all_kept_takes_as_many_as_are_asked_for_and_none_kept_never_ends() -> None:
    assert settling(10, 14, 1.0).quantile(0.1) == 10
    assert settling(10, 14, 1.0).mean == 10
    never = settling(2, 3, 0.0)
    assert never.mean is None
    assert never.variance is None
    assert never.quantile(0.01) is None
    assert never.within(1000) == 0


def test_a_quantile_is_the_smallest_day_by_which_the_chance_is_at_least_that() -> None:
    # One kept of one at a half: the chances are 1/2, 3/4, 7/8 exactly.
    half = settling(1, 1, 0.5)
    assert [half.quantile(chance) for chance in (0.1, 0.5, 0.500001, 0.75, 0.875, 0.9)] == [1, 1, 2, 2, 3, 4]


def test_seldom_kept_ends_late_and_is_followed_by_its_tail() -> None:
    found = settling(3, 3, 0.1)
    assert found.chances.size < 200
    assert found.mean == pytest.approx(1110, rel=1e-9)
    assert found.within(5000) == pytest.approx(1 - float(1 - found.spelled_out(5000).sum()), abs=1e-12)
    middle = found.quantile(0.5)
    assert middle is not None
    assert found.within(middle - 1) < 0.5 <= found.within(middle) + 1e-12


@pytest.mark.parametrize(("kept", "of"), [(0, 3), (4, 3), (2, 31)])
def test_what_is_no_rule_is_refused(kept: int, of: int) -> None:
    with pytest.raises(Malformed, match=f"{kept} of {of}"):
        settling(kept, of, 0.5)


def test_a_rule_with_more_states_than_there_is_room_for_is_refused_with_the_way_out() -> None:
    assert max(states(kept, 30) for kept in range(1, 31)) == MOST_STATES
    check_rule(15, 30)
    with pytest.raises(Malformed, match=r"145,422,675 states, which need 3\.3 GiB of memory.*--households"):
        check_rule(15, 30, MOST_STATES - 10_000_000)


@pytest.mark.parametrize(("kept", "of", "chance"), [(22, 30, 0.7), (9, 30, 0.35), (13, 25, 0.5)])
def test_rules_of_millions_of_states_settle_as_often_as_strings_that_are_drawn(
    kept: int, of: int, chance: float
) -> None:
    strings, days = 20_000, of + 10
    drawn = np.cumsum(np.random.default_rng(7).random((strings, days)) < chance, axis=1)
    before = np.pad(drawn, ((0, 0), (of, 0)))[:, :days]
    share = np.any(drawn - before >= kept, axis=1).mean()
    exact = settled_within(kept, of, chance, days)
    assert 0.2 < exact < 0.98
    assert abs(share - exact) < 4 * np.sqrt(exact * (1 - exact) / strings)


@settings(max_examples=20)
@given(rules(9), st.floats(0.1, 0.95), st.integers(0, 40))
def test_what_settles_within_some_outcomes_is_the_beginning_of_the_whole(
    rule: tuple[int, int], chance: float, outcomes: int
) -> None:
    within = settled_within(*rule, chance, outcomes)
    assert within == pytest.approx(settling(*rule, chance).within(outcomes), abs=1e-12)


@pytest.mark.parametrize(
    ("kept", "of", "chance"), [(2, 3, 1e-300), (3, 3, 1e-104), (2, 3, 1e-160), (12, 14, 1e-25)]
)
def test_a_chance_that_cannot_be_told_from_none_is_soon_known_to_be_none(
    kept: int, of: int, chance: float
) -> None:
    found = settling(kept, of, chance)
    assert found.mean is None
    assert found.variance is None
    assert found.chances.size <= of + 1
