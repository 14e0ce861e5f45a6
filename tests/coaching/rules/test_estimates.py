"""Incidence, median, shares and comparisons of spells that are counted by hand."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.coaching.rules.counts import ENDS, STANDING, Count, at_risk_by_day, too_few
from coach.coaching.rules.incidence import incidence
from coach.coaching.rules.logrank import Compared, compared
from coach.coaching.rules.median import NOTHING_SEEN, Median, curve, median
from coach.coaching.rules.stops import stops, stops_json
from coach.coaching.rules.wilson import share

SIX = [
    Count(3, "settled", 1),
    Count(3, "set aside", 1),
    Count(3, "open", 1),
    Count(8, "lapsed", 1),
    Count(9, "settled", 1),
    Count(10, "open", 1),
]
"""The example of docs/where-people-stop.md."""

counts = st.lists(
    st.builds(Count, st.integers(0, 60), st.sampled_from(STANDING), st.integers(1, 9)), max_size=40
)


def test_ends_of_one_day_share_the_risk_and_who_is_open_after_it_was_at_risk_too() -> None:
    found = incidence(SIX)
    assert found.days == (3, 8, 9)
    assert found.at_risk == (6, 3, 2)
    assert found.ends["settled"] == (1, 0, 1)
    assert found.shares["settled"] == pytest.approx([1 / 6, 1 / 6, 7 / 18])
    assert found.shares["set aside"] == pytest.approx([1 / 6, 1 / 6, 1 / 6])
    assert found.shares["lapsed"] == pytest.approx([0, 2 / 9, 2 / 9])
    assert found.still == pytest.approx([2 / 3, 4 / 9, 2 / 9])


def test_the_day_by_which_half_would_have_settled() -> None:
    assert median(SIX) == Median(9, 3, None)
    assert curve(SIX).share == pytest.approx([5 / 6, 5 / 12])


def test_a_half_that_is_missed_by_rounding_is_a_half() -> None:
    # 23/24 of 22/23 and so on down to a half, which the computer makes a little more.
    found = [Count(day, "settled", 1) for day in range(1, 13)] + [Count(30, "open", 12)]
    assert curve(found).share[11] > 0.5
    assert median(found).day == 12


def test_the_object_for_a_step() -> None:
    told = stops_json(stops("bed", SIX))
    assert told["incidence"][0] == [3, pytest.approx(1 / 6), pytest.approx(1 / 6), 0, 0]
    assert {key: value for key, value in told.items() if key != "incidence"} == {
        "step": "bed",
        "entered": 6,
        "settled": 2,
        "set_aside": 1,
        "lapsed": 1,
        "left": 0,
        "open": 2,
        "median": 9,
        "median_low": 3,
        "median_high": None,
    }


@given(counts)
def test_the_shares_and_who_is_still_at_it_are_one_together(some: list[Count]) -> None:
    found = incidence(some)
    for place, still in enumerate(found.still):
        assert abs(still + sum(found.shares[ending][place] for ending in ENDS) - 1) <= 1e-12


@given(counts)
def test_shares_only_grow_and_stay_within_one(some: list[Count]) -> None:
    for shares in incidence(some).shares.values():
        assert list(shares) == sorted(shares)
        assert all(-1e-12 <= one <= 1 + 1e-12 for one in shares)


@given(counts)
def test_neither_order_nor_how_they_are_put_together_changes_anything(some: list[Count]) -> None:
    apart = [Count(one.days, one.ending, 1) for one in reversed(some) for _ in range(one.households)]
    assert incidence(apart) == incidence(some)
    assert median(apart) == median(some)


def test_without_spells_nothing_is_said() -> None:
    assert incidence([]).rows() == []
    assert curve([]) == NOTHING_SEEN
    assert median([Count(4, "open", 3)]) == Median(None, None, None)
    assert at_risk_by_day([]).tolist() == [0]


def test_a_spell_without_a_closed_day_is_at_risk_of_nothing() -> None:
    assert incidence([*SIX, Count(0, "open", 5)]) == incidence(SIX)
    assert median([*SIX, Count(0, "open", 5)]) == median(SIX)


def test_where_nobody_settled_there_is_nothing_to_compare() -> None:
    assert compared([Count(4, "open", 3)], [Count(5, "lapsed", 3)]) == Compared(None, None, (0, 0))
    assert compared([], [Count(5, "settled", 3)]) == Compared(None, None, (0, 3))


def test_two_lots_alike_are_not_told_apart() -> None:
    found = compared(SIX, SIX)
    assert found.events == (2, 2)
    assert found.chi_square == pytest.approx(0)
    assert found.p == pytest.approx(1)


@pytest.mark.parametrize(("count", "of"), [(1, 0), (0, 0), (3, 2), (-1, 2)])
def test_what_is_no_share_is_refused(count: int, of: int) -> None:
    with pytest.raises(ValueError, match="is no share"):
        share(count, of)


def test_all_or_none_reach_the_end_of_the_scale() -> None:
    assert share(7, 7).high == 1
    assert share(0, 7).low == 0


def test_below_ten_is_too_few_to_tell() -> None:
    assert [too_few(households) for households in (9, 10)] == [True, False]
