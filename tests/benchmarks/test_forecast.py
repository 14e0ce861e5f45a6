"""What the dates ahead cost: the forecast worked out anew, and the path with it, against bare reads."""

from __future__ import annotations

import time
from datetime import timedelta
from random import Random
from typing import TYPE_CHECKING

import pytest

from benchmarks.conftest import TODAY, forget_results
from benchmarks.driving import medians
from coach.app import create_app
from coach.coaching.library import find_course
from coach.habits.forecasting import forecast
from coach.household import data
from coach.progress.csvform import write_log
from coach.progress.log import Row, What
from coach.progress.replay import replay
from coach.settings import Settings

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from fastapi import FastAPI

    from benchmarks.conftest import Homes

DAYS = 14
MOST_READS = 60
MOST_READS_OF_A_YEAR = 400
"""A day of two thousand futures costs a bare read or less, and a year has so many days."""


def of_two_weeks(folder: Path, kept: float) -> FastAPI:
    """The application of a household that kept such a share of its lines for two weeks."""
    course, start, random = find_course("three-weeks"), TODAY - timedelta(days=DAYS), Random(7)
    rows = [Row(start, What.START, "bed-made", "standard")]
    for day in range(DAYS):
        on = start + timedelta(days=day)
        checklist = replay(course, rows, on).checklist
        rows += [Row(on, What.KEPT if random.random() < kept else What.MISSED, step) for step in checklist]
    app = create_app(Settings(database=f"sqlite:///{folder / 'home.db'}", today=TODAY))
    data.load(app.state.context, "home", write_log(rows))
    return app


@pytest.fixture(scope="module")
def two_weeks(tmp_path_factory: pytest.TempPathFactory) -> Iterator[FastAPI]:
    """Of a household that has kept four lines of five."""
    app = of_two_weeks(tmp_path_factory.mktemp("forecast"), 0.8)
    yield app
    app.state.context.store.close()


@pytest.fixture(scope="module")
def too_far(tmp_path_factory: pytest.TempPathFactory) -> Iterator[FastAPI]:
    """Of one that has kept a quarter, for which a year is not enough: all of it is looked at."""
    app = of_two_weeks(tmp_path_factory.mktemp("too-far"), 0.25)
    yield app
    app.state.context.store.close()


def test_a_forecast_worked_out_anew_costs_at_most_sixty_bare_reads(homes: Homes, two_weeks: FastAPI) -> None:
    calls = [(two_weeks, "/api/forecast"), (homes.bare, "/bare")]
    answer, bare = medians(
        calls, rounds=40, before=lambda: forget_results(two_weeks), warm=5, clock=time.process_time
    )
    print(f"\nforecast {answer * 1e3:.1f} ms, bare read {bare * 1e3:.2f} ms: {answer / bare:.0f} reads")
    assert answer < MOST_READS * bare


def test_that_a_year_is_not_enough_takes_longer_to_find_and_has_a_bound_of_its_own(
    homes: Homes, too_far: FastAPI
) -> None:
    [answer, bare] = medians(
        [(too_far, "/api/forecast"), (homes.bare, "/bare")],
        rounds=12,
        before=lambda: forget_results(too_far),
        warm=2,
        clock=time.process_time,
    )
    print(f"\ntoo far: {answer * 1e3:.0f} ms, bare read {bare * 1e3:.2f} ms: {answer / bare:.0f} reads")
    assert forecast(too_far.state.context, "home").span.cannot_say == "too-far"
    assert answer < MOST_READS_OF_A_YEAR * bare


def test_the_path_pays_for_its_dates_once_and_no_more_while_nothing_is_written(
    homes: Homes, two_weeks: FastAPI
) -> None:
    calls = [(two_weeks, "/path"), (homes.bare, "/bare")]
    [cold, _] = medians(
        calls, rounds=30, before=lambda: forget_results(two_weeks), warm=5, clock=time.process_time
    )
    [warm, bare] = medians(calls, rounds=60, clock=time.process_time)
    print(f"\n/path cold {cold * 1e3:.1f} ms, with its dates kept {warm * 1e3:.1f} ms")
    assert cold - warm < MOST_READS * bare


def test_what_if_costs_at_most_five_forecasts(two_weeks: FastAPI) -> None:
    what_if, answer = medians(
        [(two_weeks, "/api/forecast/what-if"), (two_weeks, "/api/forecast")],
        rounds=15,
        before=lambda: forget_results(two_weeks),
        warm=3,
    )
    print(f"\nwhat-if {what_if * 1e3:.0f} ms, {what_if / answer:.1f} forecasts")
    assert what_if < 5 * answer
