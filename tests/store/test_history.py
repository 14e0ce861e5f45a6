"""What a reader pays does not grow with the household's history."""

from __future__ import annotations

import shutil
from contextlib import closing
from datetime import timedelta
from typing import TYPE_CHECKING

import pytest
from sqlalchemy import text

from coach.store import statements
from coach.store.opening import open_store
from store.laid_out import lay_out
from store.sqlite_machine import query_plan, steps_taken
from store.tern_street import HOME, NOW, add, begin, day, kept, rows_of, saved

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from coach.store.households import SqlStore

TEN_YEARS = 3653
STEPS = 16
LAST = day(TEN_YEARS)
SINCE = LAST - timedelta(days=7)


@pytest.fixture(scope="module")
def ten_years(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The file of a household of ten years with sixteen steps."""
    file = tmp_path_factory.mktemp("years") / "home.db"
    lay_out(f"sqlite:///{file}")
    with closing(open_store(f"sqlite:///{file}")) as store:
        begin(store)
        with store.writing(HOME) as writing:
            writing.append([kept(n, f"step-{s}") for n in range(1, TEN_YEARS + 1) for s in range(STEPS)], NOW)
            writing.save_standings([saved(number) for number in range(1, TEN_YEARS, 7)])
    return file


@pytest.fixture(params=["without statistics", "with statistics"])
def old_store(request: pytest.FixtureRequest, ten_years: Path, tmp_path: Path) -> Iterator[SqlStore]:
    """That household in a file of the test's own, before and after SQLite has counted its rows."""
    copy = shutil.copyfile(ten_years, tmp_path / "home.db")
    with closing(open_store(f"sqlite:///{copy}")) as store:
        if request.param == "with statistics":
            with store.engine.connect() as connection:
                connection.execute(text("ANALYZE"))
        yield store


def test_rows_since_a_date_are_found_by_household_and_date(old_store: SqlStore) -> None:
    found = query_plan(old_store, statements.ROWS_SINCE, {"since": SINCE})
    assert "SEARCH log USING INDEX ix_log_household_id_date (household_id=? AND date>?)" in found


def test_the_other_reads_of_a_page_are_found_by_their_keys(old_store: SqlStore) -> None:
    standing = query_plan(old_store, statements.STANDING, {"before": SINCE, "digests": ["d1"]})
    household = query_plan(old_store, statements.HOUSEHOLD, {})
    opening = query_plan(old_store, statements.OPENING, {})
    request = query_plan(old_store, statements.TAIL, {"request": "r1"})
    assert (
        "SEARCH standing USING INDEX sqlite_autoindex_standing_1 (household_id=? AND through<?)" in standing
    )
    assert "SEARCH household USING INDEX sqlite_autoindex_household_1 (household_id=?)" in opening
    assert "SEARCH course_version USING INDEX sqlite_autoindex_course_version_1 (household_id=?)" in opening
    assert household == (
        "SEARCH household USING INDEX sqlite_autoindex_household_1 (household_id=?); SCALAR SUBQUERY 1; "
        "SEARCH member USING COVERING INDEX sqlite_autoindex_member_1 (household_id=?); SCALAR SUBQUERY 2; "
        "SEARCH enrolment USING INDEX sqlite_autoindex_enrolment_1 (household_id=?)"
    )
    assert "SEARCH log USING INDEX sqlite_autoindex_log_2 (household_id=? AND request_id=?)" in request


def test_who_marked_a_day_is_found_by_household_and_date(old_store: SqlStore) -> None:
    found = query_plan(old_store, statements.SIGNED, {"first": LAST, "last": LAST})
    assert "SEARCH log USING INDEX ix_log_household_id_date (household_id=? AND date>? AND date<?)" in found
    assert "SEARCH log USING INDEX sqlite_autoindex_log_1 (household_id=? AND seq=?)" in found
    assert "SCAN log" not in found


def read_signed(store: SqlStore, household_id: str) -> object:
    with store.reading(household_id) as reading:
        return reading.signed(LAST, LAST)


def read_last_week(store: SqlStore, household_id: str) -> object:
    return rows_of(store, SINCE, household_id)


def read_standing(store: SqlStore, household_id: str) -> object:
    with store.reading(household_id) as reading:
        return reading.standing(SINCE, ["d1"])


def mark_today(store: SqlStore, household_id: str) -> object:
    return add(store, kept(TEN_YEARS, "door-shelf"), household_id=household_id, request_id="r1")


@pytest.mark.parametrize("act", [read_last_week, read_standing, read_signed, mark_today])
def test_a_day_takes_no_more_steps_after_ten_years_than_after_a_week(
    old_store: SqlStore, act: Callable[[SqlStore, str], object]
) -> None:
    begin(old_store, "new")
    with old_store.writing("new") as writing:
        last_week = range(TEN_YEARS - 7, TEN_YEARS + 1)
        writing.append([kept(n, f"step-{s}") for n in last_week for s in range(STEPS)], NOW)
        writing.save_standings([saved(TEN_YEARS - 9)])
    old = steps_taken(old_store, lambda: act(old_store, HOME))
    assert old <= steps_taken(old_store, lambda: act(old_store, "new")) * 1.1
