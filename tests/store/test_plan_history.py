"""What a reader of the plan pays does not grow with the household's history."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

import pytest
from sqlalchemy import text

from coach.ground.plan_rows import PlanRow, dated_keys
from coach.store import statements
from store.sqlite_machine import query_plan, steps_taken
from store.tern_street import HOME, add, begin, day, dinner, held, held_of, kept, put, saved

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from coach.store.households import SqlStore

TEN_YEARS = 3653
AREAS = 12
TASKS = 60
LAST = day(TEN_YEARS)
TODAY = f"{LAST}"
LAST_WEEK = range(TEN_YEARS - 6, TEN_YEARS + 1)


def task(number: int) -> PlanRow:
    """The task done on the day of that number, one after the other through all areas."""
    about = f"{day(number)} {number // TASKS % AREAS}/{number % TASKS}"
    return PlanRow(day(number), "done", about, "1")


def a_home(numbers: Iterable[int]) -> list[PlanRow]:
    """Twelve areas, and for each day a dinner thought over once and a task done."""
    areas = [PlanRow(day(1), "areas", f"{area}", '{"tasks": []}') for area in range(AREAS)]
    days = [row for n in numbers for row in (dinner(n), dinner(n, "stew"), task(n))]
    return [*areas, *days]


@pytest.fixture(params=["without statistics", "with statistics"])
def old_store(request: pytest.FixtureRequest, sqlite_store: SqlStore) -> SqlStore:
    """Ten years of a household beside one week of another, before and after SQLite has counted its rows."""
    begin(sqlite_store)
    begin(sqlite_store, "new")
    put(sqlite_store, *a_home(range(1, TEN_YEARS + 1)))
    put(sqlite_store, *a_home(LAST_WEEK), household_id="new")
    with sqlite_store.writing(HOME) as writing:
        for number in range(7, TEN_YEARS, 7):
            writing.save_plan("rotation", saved(number))
    with sqlite_store.writing("new") as writing:
        writing.save_plan("rotation", saved(TEN_YEARS - 9))
    if request.param == "with statistics":
        with sqlite_store.engine.connect() as connection:
            connection.execute(text("ANALYZE"))
    return sqlite_store


def test_a_kind_and_a_range_of_it_are_found_by_key_in_their_order(old_store: SqlStore) -> None:
    first, last = dated_keys(LAST - timedelta(days=6), LAST)
    whole = query_plan(old_store, statements.plan_parts((False,)), {"kind_0": "areas", "first_0": ""})
    asked = {"kind_0": "done", "first_0": first, "last_0": last}
    some = query_plan(old_store, statements.plan_parts((True,)), asked)
    index = "SEARCH plan_value USING INDEX sqlite_autoindex_plan_value_1"
    assert whole == f"{index} (household_id=? AND what=? AND key>?)"
    assert some == f"{index} (household_id=? AND what=? AND key>? AND key<?)"


def test_several_kinds_are_found_by_key_in_their_order(old_store: SqlStore) -> None:
    asked = {"kind_0": "areas", "first_0": "", "kind_1": "done", "first_1": TODAY, "last_1": TODAY}
    found = query_plan(old_store, statements.plan_parts((False, True)), asked)
    index = "SEARCH plan_value USING INDEX sqlite_autoindex_plan_value_1 (household_id=? AND what=? AND key"
    assert found.count(index) == 2
    assert "SCAN plan_value" not in found


def test_the_history_of_a_key_is_found_by_key_from_its_newest_row_on(old_store: SqlStore) -> None:
    found = query_plan(old_store, statements.PLAN_HISTORY, {"kind": "dinner", "about": TODAY, "most": 50})
    index = "SEARCH plan_log USING INDEX ix_plan_log_household_id_what_key_seq"
    assert found == f"{index} (household_id=? AND what=? AND key=?)"


def test_what_a_writer_of_the_plan_looks_up_is_found_by_its_keys(old_store: SqlStore) -> None:
    request = query_plan(old_store, statements.PLAN_TAIL, {"request": "r1"})
    state = query_plan(old_store, statements.PLAN_STATE, {"fold": "r", "before": LAST, "fold_digest": "d"})
    dropped = query_plan(old_store, statements.DROP_PLAN_STATES_FROM, {"on": LAST})
    value = query_plan(old_store, statements.DROP_PLAN_VALUES, {"kind": "dinner", "about": TODAY})
    assert "sqlite_autoindex_plan_log_2 (household_id=? AND request_id=?)" in request
    assert "sqlite_autoindex_plan_state_1 (household_id=? AND name=? AND through<?)" in state
    assert "ix_plan_state_household_id_through (household_id=? AND through>?)" in dropped
    assert "sqlite_autoindex_plan_value_1 (household_id=? AND what=? AND key=?)" in value


def read_last_week(store: SqlStore, household_id: str) -> object:
    with store.reading(household_id) as reading:
        found = held(reading, "done", *dated_keys(day(LAST_WEEK[0]), LAST))
    assert len(found) == len(LAST_WEEK)
    return found


def read_from_today_on(store: SqlStore, household_id: str) -> object:
    with store.reading(household_id) as reading:
        return held(reading, "dinner", TODAY)


def read_areas(store: SqlStore, household_id: str) -> object:
    with store.reading(household_id) as reading:
        return held_of(reading, ["areas", "dues"])["areas"]


def read_history(store: SqlStore, household_id: str) -> object:
    with store.reading(household_id) as reading:
        return reading.plan_history("dinner", TODAY)


def read_fold(store: SqlStore, household_id: str) -> object:
    with store.reading(household_id) as reading:
        return reading.saved_plan("rotation", LAST - timedelta(days=8), "d1")


def plan_today(store: SqlStore, household_id: str) -> object:
    return put(store, dinner(TEN_YEARS, "rice"), request_id="r1", household_id=household_id)


def mark_today(store: SqlStore, household_id: str) -> object:
    return add(store, kept(TEN_YEARS), request_id="r1", household_id=household_id)


@pytest.mark.parametrize(
    "act",
    [read_last_week, read_from_today_on, read_areas, read_history, read_fold, plan_today, mark_today],
)
def test_a_plan_takes_no_more_steps_after_ten_years_than_after_a_week(
    old_store: SqlStore, act: Callable[[SqlStore, str], object]
) -> None:
    old = steps_taken(old_store, lambda: act(old_store, HOME))
    assert old <= steps_taken(old_store, lambda: act(old_store, "new")) * 1.1
