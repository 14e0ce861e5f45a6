"""Strength (rules §5.10)."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.course import model
from coach.progress.strength import Rates, growth
from progress.living import a_course, a_step, closed, days, marks, row, start

BED = a_course("bed")


@pytest.mark.parametrize("repetitions", [1, 18, 66, 254])
def test_so_many_repetitions_bring_strength_to_95_per_cent(repetitions: int) -> None:
    strength = 0.0
    for _ in range(repetitions):
        strength += growth(repetitions) * (1 - strength)
    assert strength == pytest.approx(0.95)


def test_so_many_misses_halve_it() -> None:
    assert Rates.of(model.Strength(66, 46)).fading ** 46 == pytest.approx(0.5)


def test_a_course_sets_its_own_numbers() -> None:
    course = a_course("bed", strength=model.Strength(days_to_95=1, half_life_missed=1))
    assert closed(course, [*start(), *marks("kept", [1], "bed")], 1).records["bed"].strength == pytest.approx(
        0.95
    )
    assert closed(course, [*start(), *marks("kept", [1], "bed")], 2).records["bed"].strength == pytest.approx(
        0.475
    )


def test_each_end_of_the_range_grows_at_its_own_rate_and_fades_like_the_middle() -> None:
    rates = Rates.of(BED.strength)
    kept, missed = (
        closed(BED, [*start(), *marks("kept", [1, 2], "bed")], day).records["bed"] for day in (2, 3)
    )
    for name, rate in (("slowest", rates.slowest), ("strength", rates.typical), ("fastest", rates.fastest)):
        assert getattr(kept, name) == pytest.approx(1 - (1 - rate) ** 2)
        assert getattr(missed, name) == pytest.approx(getattr(kept, name) * rates.fading)


def test_the_small_version_counts_like_the_whole() -> None:
    whole = closed(BED, [*start(), *marks("kept", days(1, 5), "bed")], 5)
    small = closed(BED, [*start(), *marks("small", days(1, 5), "bed")], 5)
    assert small.records["bed"].strength == whole.records["bed"].strength


def test_an_excused_day_leaves_it_as_it_was() -> None:
    rows = [*start(), *marks("kept", [1, 2], "bed"), *marks("excused", [3], "bed")]
    assert closed(BED, rows, 3).records["bed"].strength == closed(BED, rows, 2).records["bed"].strength


def test_a_paused_day_on_which_it_would_have_been_due_counts_like_a_miss() -> None:
    rows = [*start(), *marks("kept", days(1, 5), "bed")]
    paused = closed(BED, [*rows, row(6, "pause")], 6).records["bed"]
    missed = closed(BED, [*rows, row(6, "missed", "bed")], 6).records["bed"]
    assert paused.strength == missed.strength
    assert (paused.due, missed.due) == (5, 6)


def test_a_paused_day_on_which_it_would_not_have_been_due_leaves_it() -> None:
    weekly = a_course(a_step("bed", repeats="FREQ=WEEKLY"))
    rows = [*start(), row(1, "kept", "bed"), row(2, "pause")]
    before, week = closed(weekly, rows, 7), closed(weekly, rows, 8)
    assert before.records["bed"].strength == closed(weekly, rows, 1).records["bed"].strength
    assert week.records["bed"].strength < before.records["bed"].strength


def test_a_step_set_aside_stands_still_even_on_a_paused_day() -> None:
    rows = [*start(), *marks("kept", days(1, 5), "bed"), row(6, "set-aside", "bed"), row(7, "pause")]
    assert closed(BED, rows, 20).records["bed"].strength == closed(BED, rows, 5).records["bed"].strength


def test_a_resting_step_fades_on_the_days_it_would_have_been_due() -> None:
    course = a_course("bed", "cups", at_once=2)
    rows = [*start(), *marks("kept", days(1, 5), "bed", "cups"), row(13, "resume", value="one")]
    rested = closed(course, [*rows, row(13, "kept", "bed")], 13).records["cups"]
    assert rested.resting
    assert (
        rested.strength
        == closed(course, rows, 12).records["cups"].strength * Rates.of(course.strength).fading
    )


@given(st.lists(st.sampled_from(["kept", "small", "missed", "excused"]), max_size=40))
def test_it_stays_within_its_range_and_the_range_around_it(history: list[str]) -> None:
    rows = [*start(), *(row(day, what, "bed") for day, what in enumerate(history, 1))]
    bed = closed(BED, rows, len(history) + 1).records["bed"]
    assert 0 <= bed.slowest <= bed.strength <= bed.fastest < 1
    assert (bed.strength > 0) == ("kept" in history or "small" in history)
