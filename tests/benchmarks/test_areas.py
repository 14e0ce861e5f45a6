"""The weeks to come, with 12 areas of 60 tasks and ten years of marks, cost little more than a bare read."""

from __future__ import annotations

import time
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

import pytest

from benchmarks.conftest import TEN_YEARS, TODAY, Homes, a_home, forget_results
from benchmarks.driving import medians
from coach.areas.passes import DIGEST, NAME, area_now
from coach.areas.plans import Kept, kept_row
from coach.areas.rules.model import Area, DetailTask
from coach.areas.rules.passes import Book, begin, close_week, open_week
from coach.areas.rules.plan import Plan, Way
from coach.areas.rules.rotation import Rotation
from coach.areas.week import mark_task, unmark_task
from coach.ground.plan_rows import PlanRow
from coach.ground.situation import situation

if TYPE_CHECKING:
    from collections.abc import Iterator

    from fastapi import FastAPI

    from coach.ground.ports import Context

START = TODAY - timedelta(days=TEN_YEARS)
AREAS, TASKS = 12, 60
PLAN = Plan(
    START,
    tuple(
        Area(f"a{area}", f"Area {area}", (f"Room {area}",), tuple(
            DetailTask(f"t{area * TASKS + task}", f"Task {task} of area {area}", 3 + (area * task) % 18)
            for task in range(TASKS)
        ))
        for area in range(AREAS)
    ),
    Rotation(AREAS, START, minutes_a_week=60),
    Way.BOTH,
)  # fmt: skip


def ten_years_of_marks() -> Iterator[PlanRow]:
    """Every week's list done, on the third and the sixth day of the week, up to last week."""
    book = Book((PLAN,), {})
    passes = begin(book)
    while (opening := open_week(passes, book)).last_day < TODAY:
        done: dict[object, list[str]] = {}
        for number, left in enumerate(one for area in opening.areas for one in area.listed):
            day = opening.week + timedelta(days=2 if number % 2 else 5)
            done.setdefault(day, []).append(left.task.id)
            yield PlanRow(day, "done", f"{day}/{left.task.id}", "true")
        book = Book((PLAN,), done)  # type: ignore[arg-type]  # dates with lists of ids
        close_week(passes, opening, book)


@pytest.fixture(scope="module")
def lived(tmp_path_factory: pytest.TempPathFactory) -> Iterator[FastAPI]:
    """A home of ten years with areas from its first day on, and every week's list done."""
    app = a_home(tmp_path_factory.mktemp("areas"), TEN_YEARS)
    context: Context = app.state.context
    with context.store.writing("home") as writing:
        row = kept_row(situation(context, writing), Kept(PLAN, "Divided the home", AREAS * TASKS))
        rows = [PlanRow(START, row.what, row.key, row.value), *ten_years_of_marks()]
        writing.put_plan(rows, datetime.now(UTC))
    print(f"\n{len(rows) - 1} marks of tasks")
    assert len(rows) > 2000
    yield app
    app.state.context.store.close()


def test_the_weeks_to_come_cost_at_most_two_bare_reads_out_of_memory(lived: FastAPI, homes: Homes) -> None:
    calls = [(lived, "/api/rotation"), (lived, "/areas/weeks"), (homes.bare, "/bare")]
    weeks, page, bare = medians(calls, rounds=400)
    print(f"\nJSON {weeks * 1e6:.0f} us, page {page * 1e6:.0f} us, bare read {bare * 1e6:.0f} us")
    assert weeks < 2 * bare
    assert page < 2 * bare


def test_the_weeks_worked_out_anew_fold_what_is_new_and_not_ten_years(lived: FastAPI) -> None:
    context: Context = lived.state.context
    without = _timed(context)
    task = PLAN.areas[0].detail[0].id
    mark_task(context, "home", TODAY, task)
    unmark_task(context, "home", TODAY, task)
    with context.store.reading("home") as reading:
        assert reading.saved_plan(NAME, TODAY, DIGEST) is not None
    kept = _timed(context)
    (anew,) = medians([(lived, "/api/rotation")], rounds=30, before=lambda: forget_results(lived), warm=3)
    (page,) = medians([(lived, "/areas/weeks")], rounds=30, before=lambda: forget_results(lived), warm=3)
    print(
        f"\nthis week's area: folding ten years {without * 1e3:.0f} ms, from what is kept {kept * 1e3:.1f} ms"
    )
    print(f"the weeks to come worked out anew: JSON {anew * 1e3:.1f} ms, page {page * 1e3:.1f} ms")
    assert kept < without / 4
    assert anew < 0.2
    assert page < 0.5


def _timed(context: Context) -> float:
    """The least seconds of three that opening this week's area takes, beside the household's standing."""
    taken = []
    for _ in range(3):
        with context.store.reading("home") as reading:
            plan = situation(context, reading)
            begun = time.perf_counter()
            assert area_now(plan) is not None
            taken.append(time.perf_counter() - begun)
    return min(taken)


def test_a_mark_costs_no_more_after_ten_years(lived: FastAPI) -> None:
    context: Context = lived.state.context
    task = PLAN.areas[0].detail[0].id
    taken = []
    for _ in range(10):
        begun = time.perf_counter()
        mark_task(context, "home", TODAY, task)
        unmark_task(context, "home", TODAY, task)
        taken.append((time.perf_counter() - begun) / 2)
    print(f"\na mark of a task, with the week that then stands: {min(taken) * 1e3:.1f} ms")
    assert min(taken) < 0.25
