"""Dinner, shopping and the desk cost the same after ten years of them as after one."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

import pytest

from benchmarks.conftest import TEN_YEARS, TODAY, history
from benchmarks.driving import medians
from coach.app import create_app
from coach.desk.book import due_json
from coach.desk.dues import TypedDue, read_due
from coach.ground.writing import to_plan, written
from coach.household import data
from coach.kitchen.dinners import TypedDinner, planned_json, read_dinner
from coach.kitchen.dishes import TypedDish, TypedFrozen
from coach.progress.csvform import write_log
from coach.settings import Settings

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from fastapi import FastAPI

    from coach.ground.plan_rows import PlanRow
    from coach.ground.situation import Situation

DUES = 40
DISH = TypedDish("Soup", "400 g rice\n1 onion\n2 carrots\n1 leek", (TypedFrozen("chicken", "1.4 kg"),))
PATHS = ("/dinner", "/shopping", "/desk", "/api/dinners", "/api/shopping", "/api/dues", "/api/to-dos")


def _days(days: int) -> Iterator[date]:
    return (TODAY + timedelta(days=ahead) for ahead in range(-days, 8))


def _rows(where: Situation, days: int) -> Iterator[PlanRow]:
    """A dinner for every day, monthly dues seen to ever since, and two to-dos done a day."""
    dinner = planned_json(read_dinner(TypedDinner(DISH))[0])
    for on in _days(days):
        yield where.row("dinner", on.isoformat(), dinner)
        for number in range(2):
            done = {"title": "Ring", "entered": on.isoformat(), "kind": "open", "place": None}
            yield where.row("todo-done", f"{on}/{on:%Y%m%d}-{number:04}", done)
    for number in range(DUES):
        day = number % 28 + 1
        typed = TypedDue(f"due {number}", f"2027-02-{day:02}", f"FREQ=MONTHLY;BYMONTHDAY={day}")
        due = due_json(read_due(typed, f"20170101-{number:04}", where.today))
        yield where.row("due", f"20170101-{number:04}", due)
        for on in _days(days):
            if on.day == day and on < TODAY:
                settled = {"name": "due", "settled": on.isoformat(), "due": due}
                yield where.row("due-done", f"{on}/20170101-{number:04}", settled)
        yield where.row("todo", f"20270101-{number:04}", {**_TODO, "title": f"thing {number}"})


_TODO = {"entered": "2027-01-01", "kind": "open", "place": None}


def _home(folder: Path, days: int) -> FastAPI:
    app = create_app(Settings(database=f"sqlite:///{folder / f'kitchen-{days}.db'}", today=TODAY))
    data.load(app.state.context, "home", write_log(history(days)))
    written(
        app.state.context,
        "home",
        lambda where: to_plan(list(_rows(where, days))),
        lambda where, _: where.today,
    )
    return app


@pytest.fixture(scope="module")
def kitchens(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[FastAPI, FastAPI]]:
    folder = tmp_path_factory.mktemp("kitchens")
    year, ten_years = _home(folder, 366), _home(folder, TEN_YEARS)
    yield year, ten_years
    for app in (year, ten_years):
        app.state.context.store.close()


@pytest.mark.parametrize("path", PATHS)
def test_it_costs_the_same_after_ten_years_as_after_one(kitchens: tuple[FastAPI, FastAPI], path: str) -> None:
    year, ten_years = medians([(app, path) for app in kitchens], rounds=60, warm=5)
    print(f"\n{path}: a year {year * 1e3:.2f} ms, ten years {ten_years * 1e3:.2f} ms")
    assert ten_years < 1.5 * year
