"""Quantiles and the range in the middle, of futures that are done on whole days."""

from __future__ import annotations

import numpy as np
import pytest

from coach.pace.ranges import around, central, quantile

ONE_A_DAY = np.arange(1, 11)


@pytest.mark.parametrize(
    ("chance", "place"), [(0.0, 1), (0.05, 1), (0.1, 1), (0.11, 2), (0.5, 5), (0.8, 8), (0.9, 9), (1.0, 10)]
)
def test_a_quantile_is_the_first_place_by_which_the_chance_is_that_large(chance: float, place: int) -> None:
    assert quantile(ONE_A_DAY, chance) == place


def test_the_range_leaves_as_many_out_on_either_side_where_days_are_many() -> None:
    first, last = central(np.arange(10_000), 0.8)
    assert [first, last] == pytest.approx([1000, 9000], abs=2)


def test_it_holds_just_its_share_where_it_can() -> None:
    first, last = central(ONE_A_DAY, 0.8)
    assert last - first + 1 == 8


def test_where_many_are_done_on_the_first_day_the_end_gives_way() -> None:
    places = np.array([3] * 20 + list(range(4, 84)))
    assert central(places, 0.8) == (3, 63)


def test_a_day_that_holds_nearly_all_is_the_range() -> None:
    assert central(np.array([4] + [5] * 97 + [6, 7]), 0.8) == (5, 5)


def test_of_two_end_days_the_one_with_fewer_futures_is_left_out_first() -> None:
    places = np.repeat([1, 2, 3, 4], [19, 40, 29, 12])
    assert central(places, 0.8) == (1, 3)


def test_of_two_ranges_that_are_as_near_to_the_share_the_wider_one_is_told() -> None:
    # Nine of ten with the first day and seven without it.
    assert central(np.repeat([1, 2, 3], [2, 7, 1]), 0.8) == (1, 2)


def test_futures_all_done_on_one_day_make_a_range_of_that_day() -> None:
    assert central(np.full(9, 5), 0.8) == (5, 5)


def test_the_range_told_holds_the_dates_that_are_told_beside_it() -> None:
    # Done on two Sundays: the first one alone is nearer to 80 % than both.
    weekly = np.array([7] * 79 + [14] * 21)
    assert central(weekly, 0.8) == (7, 7)
    assert around(weekly, 0.8, (quantile(weekly, 0.5), quantile(weekly, 0.8))) == (7, 14)


@pytest.mark.parametrize(
    ("beside", "told"), [([6, 6, 8], (6, 7)), ([6, 8, 8], (7, 8)), ([6, 8], (7, 8)), ([], (7, 8))]
)
def test_the_range_told_is_never_one_day_alone(beside: list[int], told: tuple[int, int]) -> None:
    places = np.sort(np.array([7] * 90 + beside))
    assert around(places, 0.8, (7, 7)) == told
