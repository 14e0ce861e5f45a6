"""Strength against the published curve.

Sources: Lally et al. 2010, Eur J Soc Psychol 40:998, doi 10.1002/ejsp.674 (automaticity grows as
y = a - b·e^(-c·x); time to 95 % of the plateau 18 to 254 days, median 66; one missed opportunity made no
material difference). The values at 7, 15, 28 and 66 repetitions follow from it by arithmetic. The decay of
0.015 a missed occurrence is a design choice after Fredslund & Leppin 2019, doi 10.1136/bmjopen-2018-024043.
"""

from __future__ import annotations

import math

import pytest

from progress.living import a_course, closed, days, marks, stand, start

BED = a_course("bed")


def strength(kept: list[int], missed: list[int], through: int) -> float:
    rows = [*start(), *marks("kept", kept, "bed"), *marks("missed", missed, "bed")]
    return closed(BED, rows, through).records["bed"].strength


@pytest.mark.parametrize(
    ("repetitions", "expected"), [(7, 0.272200), (15, 0.493813), (28, 0.719426), (66, 0.95)]
)
def test_strength_after_so_many_repetitions(repetitions: int, expected: float) -> None:
    assert strength(list(days(1, repetitions)), [], repetitions) == pytest.approx(expected, abs=5e-7)


def test_it_is_the_exponential_curve_of_the_study() -> None:
    rate = -math.log(0.05) / 66
    for repetitions in (1, 10, 40, 100):
        curve = 1 - math.exp(-rate * repetitions)
        assert strength(list(days(1, repetitions)), [], repetitions) == pytest.approx(curve)


@pytest.mark.parametrize(("repetitions", "which"), [(18, "fastest"), (254, "slowest")])
def test_the_range_shown_is_that_of_the_studys_fastest_and_slowest(repetitions: int, which: str) -> None:
    rows = [*start(), *marks("kept", days(1, repetitions), "bed")]
    step = stand(BED, rows, repetitions + 1).steps["bed"]
    assert getattr(step, which) == pytest.approx(0.95)
    assert step.slowest < step.strength < step.fastest


@pytest.mark.parametrize("missed", [10, 33, 60, 66])
def test_one_miss_in_a_long_run_makes_less_than_two_per_cent(missed: int) -> None:
    whole = strength(list(days(1, 66)), [], 66)
    with_miss = strength([day for day in days(1, 66) if day != missed], [missed], 66)
    one_kept_less = strength(list(days(1, 65)), [], 65)
    assert 0 < one_kept_less - with_miss < 0.02 * one_kept_less
    # Leaving out the repetition itself costs something too, near the start of a curve most of all.
    assert 0 < whole - with_miss < 0.02 * whole


def test_a_missed_occurrence_takes_one_and_a_half_per_cent() -> None:
    before = strength(list(days(1, 66)), [], 66)
    assert 1 - strength(list(days(1, 66)), [67], 67) / before == pytest.approx(0.015, abs=1e-4)


def test_46_missed_occurrences_halve_it() -> None:
    halved = strength(list(days(1, 66)), list(days(67, 112)), 112)
    assert halved == pytest.approx(0.95 / 2)
