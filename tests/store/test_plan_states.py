"""Saved folds of the plan, and what an import and a deletion leave of plan and log."""

from __future__ import annotations

from dataclasses import replace
from datetime import time
from typing import TYPE_CHECKING

import pytest

from coach.ground.ports import CourseVersion
from coach.ground.rows import SavedStanding, Thinning
from coach.progress.log import Row, What
from store.tern_street import (
    FIRST,
    HOME,
    HOUSEHOLD,
    NOW,
    add,
    begin,
    day,
    dinner,
    kept,
    plan_of,
    put,
    rows_of,
    saved,
    todo,
    version_of,
)

if TYPE_CHECKING:
    from datetime import date

    from coach.ground.ports import Store

SOUP = [("2027-01-04", '"soup"')]


def keep(store: Store, *folds: SavedStanding, name: str = "rotation", household_id: str = HOME) -> None:
    """Save folds of the plan."""
    with store.writing(household_id) as writing:
        for fold in folds:
            writing.save_plan(name, fold)


def found(
    store: Store, before: date, digest: str = "d1", name: str = "rotation", household_id: str = HOME
) -> SavedStanding | None:
    """The saved fold that a reader finds."""
    with store.reading(household_id) as reading:
        return reading.saved_plan(name, before, digest)


def test_the_latest_fold_before_a_date_is_found_by_its_name_and_digest(store: Store) -> None:
    begin(store)
    keep(store, saved(2), saved(4), saved(3), saved(5, "d2"))
    keep(store, saved(6), name="passes")
    assert found(store, day(9)) == saved(4)
    assert found(store, day(4)) == saved(3)
    assert found(store, day(2)) is None
    assert found(store, day(9), "d2") == saved(5, "d2")
    assert found(store, day(9), name="passes") == saved(6)
    assert found(store, day(9), name="balance") is None


def test_a_fold_of_the_same_name_and_date_is_replaced(store: Store) -> None:
    begin(store)
    keep(store, saved(2), saved(2, "d2", '{"turn": 3}'))
    keep(store, saved(2), name="passes")
    assert found(store, day(9)) is None
    assert found(store, day(9), "d2") == saved(2, "d2", '{"turn": 3}')
    assert found(store, day(9), name="passes") == saved(2)


def test_a_saved_fold_is_a_cache_and_leaves_the_version(store: Store) -> None:
    begin(store)
    before = version_of(store)
    keep(store, saved(1))
    assert version_of(store) == before


def test_a_fold_is_no_standing_and_a_standing_no_fold(store: Store) -> None:
    begin(store)
    keep(store, saved(2))
    with store.writing(HOME) as writing:
        writing.save_standings([saved(3, "d3")])
    assert found(store, day(9), "d3") is None
    with store.reading(HOME) as reading:
        assert reading.standing(day(9), ["d1"]) is None


def test_keeping_a_fold_thins_out_the_old_ones_of_its_name(store: Store) -> None:
    begin(store)
    for name in ("rotation", "passes"):
        keep(store, saved(1), saved(2), saved(3), saved(4), name=name)
    with store.writing(HOME) as writing:
        writing.save_plan("rotation", saved(5), Thinning(day(4), frozenset({day(2)})))
    assert [found(store, day(number + 1)) for number in (1, 3, 4, 5)] == [None, saved(2), saved(4), saved(5)]
    assert found(store, day(2), name="passes") == saved(1)


@pytest.mark.parametrize("where", ["plan", "log"])
def test_rows_throw_away_the_folds_that_fold_their_dates(store: Store, where: str) -> None:
    begin(store)
    begin(store, "other")
    keep(store, saved(4), household_id="other")
    for name in ("rotation", "passes"):
        keep(store, saved(2), saved(3), saved(4), name=name)
    if where == "plan":
        put(store, dinner(7), dinner(3))
    else:
        add(store, kept(7), kept(3))
    assert found(store, day(9)) == found(store, day(9), name="passes") == saved(2)
    assert found(store, day(9), household_id="other") == saved(4)


def test_rows_of_the_plan_leave_the_standings(store: Store) -> None:
    begin(store)
    with store.writing(HOME) as writing:
        writing.save_standings([saved(3)])
    put(store, dinner(1))
    with store.reading(HOME) as reading:
        assert reading.standing(day(9), ["d1"]) == saved(3)


def test_a_request_sent_again_throws_no_fold_away(store: Store) -> None:
    begin(store)
    put(store, dinner(1), request_id="r1")
    keep(store, saved(2))
    put(store, dinner(1), request_id="r1")
    put(store)
    assert found(store, day(9)) == saved(2)


def fill(store: Store, household_id: str = HOME) -> None:
    """A household with something in each of its tables."""
    begin(store, household_id)
    add(store, kept(1), request_id="r1", household_id=household_id)
    put(store, dinner(1), request_id="p1", household_id=household_id)
    keep(store, saved(1), household_id=household_id)
    with store.writing(household_id) as writing:
        writing.save_standings([saved(1)])


NEW_START = Row(day(2), What.START, "door-shelf", "gentle")
MOVED = replace(HOUSEHOLD, course="other", zone="UTC", day_starts=time(15), week_starts="sunday")


def test_a_replaced_log_leaves_nothing_of_the_one_before(store: Store) -> None:
    fill(store)
    with store.writing(HOME) as writing:
        writing.replace_log(MOVED, [NEW_START, kept(3)], NOW)
    assert rows_of(store) == [NEW_START, kept(3)]
    with store.reading(HOME) as reading:
        assert list(reading.courses()) == []
        assert reading.standing(day(9), ["d1"]) is None
        assert reading.saved_plan("rotation", day(9), "d1") is None
    assert add(store, kept(4), request_id="r1")


def test_a_replaced_log_leaves_the_plan(store: Store) -> None:
    fill(store)
    with store.writing(HOME) as writing:
        writing.replace_log(MOVED, [NEW_START], NOW)
    assert plan_of(store) == SOUP
    with store.reading(HOME) as reading:
        assert list(reading.plan_history("dinner", "2027-01-04")) == [dinner(1)]
    assert not put(store, dinner(2), request_id="p1")


@pytest.mark.parametrize("before", ["nothing", "another log"])
def test_a_replaced_log_brings_the_values_of_its_household(store: Store, before: str) -> None:
    if before == "another log":
        fill(store)
    with store.writing(HOME) as writing:
        writing.replace_log(MOVED, [NEW_START], NOW)
        writing.add_course(CourseVersion(day(2), "d2"), "{}")
    household = store.version(HOME)
    assert household is not None
    assert replace(household, version=0) == MOVED
    assert rows_of(store) == [NEW_START]


@pytest.mark.parametrize("rows", [[], [NEW_START]])
def test_a_replaced_log_gives_a_later_version(store: Store, rows: list[Row]) -> None:
    fill(store)
    before = version_of(store)
    with store.writing(HOME) as writing:
        writing.replace_log(HOUSEHOLD, rows, NOW)
    assert version_of(store) > before


def test_a_replaced_log_leaves_other_households(store: Store) -> None:
    fill(store)
    fill(store, "other")
    with store.writing(HOME) as writing:
        writing.replace_log(MOVED, [NEW_START], NOW)
    household = store.version("other")
    assert household is not None
    assert household.zone == HOUSEHOLD.zone
    assert kept(1) in rows_of(store, household_id="other")
    assert found(store, day(9), household_id="other") == saved(1)


def test_clear_deletes_the_plan_of_one_household(store: Store) -> None:
    fill(store)
    fill(store, "other")
    with store.writing(HOME) as writing:
        writing.clear()
    begin(store)
    assert plan_of(store) == []
    with store.reading(HOME) as reading:
        assert list(reading.plan_history("dinner", "2027-01-04")) == []
    assert found(store, day(9)) is None
    assert put(store, todo("a"), request_id="p1")
    assert plan_of(store, household_id="other") == SOUP
    assert not put(store, dinner(2), request_id="p1", household_id="other")
    assert found(store, day(9), household_id="other") == saved(1)


def test_a_household_that_was_deleted_can_be_given_a_log_in_the_same_transaction(store: Store) -> None:
    fill(store)
    with store.writing(HOME) as writing:
        writing.clear()
        writing.replace_log(MOVED, [NEW_START], NOW)
    assert rows_of(store) == [NEW_START]
    assert plan_of(store) == []


def test_settings_change_the_start_of_the_week_only_when_asked(store: Store) -> None:
    begin(store)
    starts = []
    for week_starts in (None, "sunday", None, "monday"):
        with store.writing(HOME) as writing:
            writing.settings("UTC", time(4), week_starts)
        household = store.version(HOME)
        assert household is not None
        starts.append(household.week_starts)
    assert starts == ["monday", "sunday", "sunday", "monday"]


def test_a_household_is_created_with_the_start_of_its_week(store: Store) -> None:
    with store.writing(HOME) as writing:
        writing.create(MOVED)
        writing.append([Row(FIRST, What.START, "bed-made", "standard")], NOW)
    household = store.version(HOME)
    assert household is not None
    assert household.week_starts == "sunday"
