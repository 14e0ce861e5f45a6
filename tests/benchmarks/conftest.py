"""Households of a week and of ten years, and the bare route they are measured against."""

from __future__ import annotations

import os
from dataclasses import dataclass
from datetime import date, timedelta
from random import Random
from typing import TYPE_CHECKING

import pytest
from fastapi import FastAPI

from coach.app import create_app
from coach.coaching.library import find_course
from coach.household import data
from coach.progress.csvform import write_log
from coach.progress.log import Row, What
from coach.settings import Settings

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from coach.ground.ports import Context

TODAY = date(2027, 1, 25)
TEN_YEARS = 3652
STEPS = 20
ADDED = ("water", "walk", "read", "stretch", "ferns", "letters", "violin")


@dataclass(frozen=True)
class Homes:
    """An application for each length of history, and one with a route that reads one row by its key."""

    week: FastAPI
    ten_years: FastAPI
    bare: FastAPI


def history(days: int) -> list[Row]:
    """A log of so many days before today with 20 steps, six of seven lines kept, always the same."""
    course = find_course("three-weeks")
    start = TODAY - timedelta(days=days)
    rows = [Row(start, What.START, "bed-made", "standard")]
    rows += [Row(start, What.ADD, name, f'{{"title":"{name.title()}","minutes":2}}') for name in ADDED]
    steps = [step.id for step in course.steps] + list(ADDED)
    assert len(steps) == STEPS
    random = Random(11)
    for ago in range(days, -1, -1):
        on = TODAY - timedelta(days=ago)
        rows += [
            Row(on, What.KEPT if random.random() < 6 / 7 else What.MISSED, step)
            for step in steps
            if random.random() < 0.95
        ]
    return rows


def a_home(folder: Path, days: int) -> FastAPI:
    """An application with a household of so many days."""
    app = create_app(Settings(database=f"sqlite:///{folder / f'{days}.db'}", today=TODAY))
    data.load(app.state.context, "home", write_log(history(days)))
    return app


@pytest.fixture(scope="session", autouse=True)
def alone() -> None:
    """Beside other tests a ratio says little, and pytest-benchmark would quietly measure nothing."""
    if "PYTEST_XDIST_WORKER" in os.environ:
        pytest.fail("Benchmarks run alone, without -n: python -m pytest tests/benchmarks", pytrace=False)


@pytest.fixture(scope="session")
def homes(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Homes]:
    folder = tmp_path_factory.mktemp("benchmarks")
    week, ten_years = a_home(folder, 7), a_home(folder, TEN_YEARS)
    bare = FastAPI()

    @bare.get("/bare")
    def read_one() -> dict[str, int]:
        home = ten_years.state.context.store.version("home")
        return {"version": home.version}

    yield Homes(week, ten_years, bare)
    for app in (week, ten_years):
        app.state.context.store.close()


def forget_results(*apps: FastAPI) -> None:
    """Throw away what the applications have in memory, as a restart or a new mark would."""
    for app in apps:
        context: Context = app.state.context
        context.memo.forget()
