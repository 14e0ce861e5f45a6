"""Today's page costs the same after ten years as after a week, and little more than reading one row."""

from __future__ import annotations

import time
from datetime import timedelta
from typing import TYPE_CHECKING

from benchmarks.conftest import TEN_YEARS, TODAY, Homes, forget_results, history
from benchmarks.driving import medians
from coach.coaching.library import find_course
from coach.progress.replay import replay

if TYPE_CHECKING:
    from pytest_benchmark.fixture import BenchmarkFixture


def test_today_costs_the_same_after_ten_years_and_at_most_two_bare_reads(homes: Homes) -> None:
    calls = [(homes.week, "/api/today"), (homes.ten_years, "/api/today"), (homes.bare, "/bare")]
    week, ten_years, bare = medians(calls, rounds=400)
    print(f"\nweek {week * 1e6:.0f} us, ten years {ten_years * 1e6:.0f} us, bare read {bare * 1e6:.0f} us")
    assert ten_years < 1.2 * week
    assert ten_years < 2 * bare


def test_today_worked_out_anew_costs_the_same_after_ten_years(homes: Homes) -> None:
    calls = [(homes.week, "/api/today"), (homes.ten_years, "/api/today")]
    week, ten_years = medians(
        calls, rounds=60, before=lambda: forget_results(homes.week, homes.ten_years), warm=5
    )
    print(f"\nworked out anew: week {week * 1e3:.2f} ms, ten years {ten_years * 1e3:.2f} ms")
    assert ten_years < 2.5 * week


def test_the_today_page_costs_the_same_after_ten_years(homes: Homes) -> None:
    week, ten_years = medians([(homes.week, "/today"), (homes.ten_years, "/today")], rounds=100)
    assert ten_years < 1.2 * week


def test_ten_years_of_twenty_steps_replay_in_under_a_second(benchmark: BenchmarkFixture) -> None:
    course, rows = find_course("three-weeks"), history(TEN_YEARS)

    def from_nothing() -> float:
        begun = time.perf_counter()
        standing = replay(course, rows, TODAY)
        assert standing.day == TEN_YEARS + 1
        return time.perf_counter() - begun

    taken = benchmark.pedantic(from_nothing, rounds=3)  # type: ignore[no-untyped-call]  # it has no types
    assert taken < 1.0
    assert rows[0].date == TODAY - timedelta(days=TEN_YEARS)
