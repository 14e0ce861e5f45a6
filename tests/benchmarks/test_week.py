"""The week costs little more than reading one row, however long the history."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

import pytest

from benchmarks.conftest import TODAY, Homes, forget_results
from benchmarks.driving import medians
from benchmarks.test_areas import AREAS, PLAN, START, TASKS, ten_years_of_marks
from coach.areas.passes import keep_passes
from coach.areas.plans import Kept, kept_row
from coach.ground.plan_rows import PlanRow
from coach.ground.situation import situation
from coach.week import days as week

if TYPE_CHECKING:
    from fastapi import FastAPI

WEEKS_OF_TICKS = 520
MINUTES = dict.fromkeys(("MO", "TU", "WE", "TH", "FR", "SA", "SU"), 60)


@pytest.fixture(scope="module")
def planned(homes: Homes) -> Homes:
    """Households with minutes available; that of ten years with areas, and ten years of marks and ticks."""
    for app in (homes.week, homes.ten_years):
        week.set_available(app.state.context, "home", MINUTES)
    _work_for_years(homes.ten_years)
    return homes


def _work_for_years(app: FastAPI) -> None:
    context = app.state.context
    days = [TODAY - timedelta(weeks=ago) for ago in range(WEEKS_OF_TICKS, -1, -1)]
    ticks = [
        PlanRow(day, "tick", f"{day}/out-and-back/{line}", '"done"') for day in days for line in range(1, 4)
    ]
    with context.store.writing("home") as writing:
        row = kept_row(situation(context, writing), Kept(PLAN, "Divided the home", AREAS * TASKS))
        areas = [PlanRow(START, row.what, row.key, row.value), *ten_years_of_marks()]
        writing.put_plan([*areas, *ticks], context.clock())
        keep_passes(writing, situation(context, writing))
    print(f"\n{len(areas) - 1} marks of tasks in {AREAS} areas, {len(ticks)} ticked lines")


@pytest.mark.parametrize("path", ["/week", "/api/week"])
def test_the_week_costs_at_most_two_bare_reads_after_ten_years(planned: Homes, path: str) -> None:
    calls = [(planned.week, path), (planned.ten_years, path), (planned.bare, "/bare")]
    week, ten_years, bare = medians(calls, rounds=400)
    print(f"\n{path}: week {week * 1e6:.0f} us, ten years {ten_years * 1e6:.0f} us, bare {bare * 1e6:.0f} us")
    assert ten_years < 1.2 * week
    assert ten_years < 2 * bare


def test_the_week_worked_out_anew_costs_the_same_after_ten_years(planned: Homes) -> None:
    calls = [(planned.week, "/api/week"), (planned.ten_years, "/api/week"), (planned.ten_years, "/week")]
    forget = (planned.week, planned.ten_years)
    week, ten_years, page = medians(calls, rounds=40, before=lambda: forget_results(*forget), warm=5)
    print(
        f"\nworked out anew: week {week * 1e3:.1f} ms, ten years {ten_years * 1e3:.1f} ms; "
        f"the page after that {page * 1e3:.1f} ms"
    )
    assert ten_years < 4 * week
    assert ten_years < 0.2
