"""An import takes the log's place and leaves what is planned; a deletion leaves nothing."""

from __future__ import annotations

from contextlib import closing
from datetime import UTC, date, datetime, time
from typing import TYPE_CHECKING

import pytest

from coach.coaching.library import FolderLibrary
from coach.errors import FaultyFile
from coach.ground.plan_rows import Asked, PlanRow
from coach.ground.ports import Context
from coach.household import data, start
from coach.store.memory import MemoryStore
from coach.store.opening import open_store
from habits import marking

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

HOME = "home"
NOW = datetime(2027, 1, 4, 12, tzinfo=UTC)
DINNER = PlanRow(date(2027, 1, 4), "dinner", "2027-01-05", '"soup"')
LIBRARY = FolderLibrary()


@pytest.fixture(params=["memory", "sqlite"])
def context(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Context]:
    """A household with a dinner planned and weeks that begin on Sunday."""
    store = MemoryStore() if request.param == "memory" else open_store(f"sqlite:///{tmp_path / 'home.db'}")
    with closing(store):
        used = Context(store, LIBRARY, lambda: NOW)
        start.start(used, HOME, zone="Europe/Lisbon", day_starts="05:00")
        with store.writing(HOME) as writing:
            writing.settings("Europe/Lisbon", time(5), "sunday")
            writing.put_plan([DINNER], NOW, "p1")
        yield used


def another_log() -> str:
    """The log of another household, which has marked its first day and lives elsewhere."""
    other = Context(MemoryStore(), LIBRARY, lambda: NOW)
    day = start.start(other, HOME, zone="Pacific/Auckland", day_starts="03:00")
    marking.mark(other, HOME, day.date, day.checklist[0].step, "kept")
    return data.export(other, HOME)


def dinners(context: Context) -> list[tuple[str, str]]:
    with context.store.reading(HOME) as reading:
        return reading.plans([Asked("dinner")])[0]


def test_an_import_keeps_the_plan_and_the_start_of_the_week(context: Context) -> None:
    log = another_log()
    before = context.store.version(HOME)
    data.load(context, HOME, log)
    household = context.store.version(HOME)
    assert data.export(context, HOME) == log
    assert before is not None
    assert household is not None
    assert (household.zone, household.day_starts) == ("Pacific/Auckland", time(3))
    assert household.week_starts == "sunday"
    assert household.version > before.version
    assert dinners(context) == [("2027-01-05", '"soup"')]
    with context.store.writing(HOME) as writing:
        assert [version.since for version in writing.courses()] == [date(2027, 1, 4)]
        assert list(writing.plan_history("dinner", "2027-01-05")) == [DINNER]
        assert not writing.put_plan([DINNER], NOW, "p1")


def test_an_import_begins_a_household_that_has_not_started(context: Context) -> None:
    data.forget(context, HOME)
    log = another_log()
    data.load(context, HOME, log)
    household = context.store.version(HOME)
    assert data.export(context, HOME) == log
    assert household is not None
    assert household.week_starts == "monday"


def test_an_import_that_is_refused_changes_neither_log_nor_plan(context: Context) -> None:
    log, household = data.export(context, HOME), context.store.version(HOME)
    with pytest.raises(FaultyFile):
        data.load(context, HOME, "date,what,step,value\n2027-01-04,kept,bed-made,\n")
    assert data.export(context, HOME) == log
    assert context.store.version(HOME) == household
    assert dinners(context) == [("2027-01-05", '"soup"')]


def test_nothing_planned_is_left_when_everything_is_deleted(context: Context) -> None:
    data.forget(context, HOME)
    start.start(context, HOME)
    assert dinners(context) == []
