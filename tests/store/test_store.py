"""What every store does, in memory, in SQLite and in PostgreSQL."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, time
from typing import TYPE_CHECKING

import pytest

from coach.errors import AlreadyStarted, Malformed, NotStarted
from coach.ground.ports import CourseVersion
from coach.ground.rows import Thinning
from coach.progress.log import Row, What
from store.tern_street import (
    COURSE,
    FIRST,
    HOME,
    HOUSEHOLD,
    NOW,
    add,
    begin,
    day,
    kept,
    rows_of,
    saved,
    version_of,
)

if TYPE_CHECKING:
    from collections.abc import Callable

    from coach.ground.ports import Store, Writing

START = Row(FIRST, What.START, "bed-made", "standard")

CHANGES: dict[str, Callable[[Writing], object]] = {
    "append": lambda writing: writing.append([kept(2)], NOW),
    "settings": lambda writing: writing.settings("Europe/London", time(4)),
    "add_course": lambda writing: writing.add_course(CourseVersion(day(2), "d2"), "{}"),
}
WRITES: dict[str, Callable[[Writing], object]] = {
    **CHANGES,
    "save_standings": lambda writing: writing.save_standings([saved(1)]),
}
REMOVALS: dict[str, Callable[[Writing], object]] = {"clear": lambda writing: writing.clear()}


class Stop(Exception):
    """Raised inside a transaction."""


def test_a_store_knows_no_household_before_its_start(store: Store) -> None:
    assert store.version(HOME) is None
    with store.reading(HOME) as reading:
        assert reading.household() is None
        assert list(reading.rows()) == []
        assert list(reading.courses()) == []
        assert reading.standing(day(9), ["d1"]) is None


def test_a_household_reads_back_as_it_was_created(store: Store) -> None:
    begin(store)
    found = store.version(HOME)
    assert found is not None
    assert replace(found, version=0) == HOUSEHOLD
    with store.reading(HOME) as reading:
        assert reading.household() == found
        assert list(reading.courses()) == [COURSE]


def test_a_household_starts_once(store: Store) -> None:
    begin(store)
    with store.writing(HOME) as writing:
        with pytest.raises(AlreadyStarted):
            writing.create(replace(HOUSEHOLD, zone="UTC"))
        writing.append([kept(1)], NOW)
    assert rows_of(store) == [START, kept(1)]
    found = store.version(HOME)
    assert found is not None
    assert found.zone == HOUSEHOLD.zone


@pytest.mark.parametrize("write", WRITES)
def test_nothing_is_written_for_a_household_that_has_not_started(store: Store, write: str) -> None:
    with store.writing(HOME) as writing, pytest.raises(NotStarted):
        WRITES[write](writing)
    assert store.version(HOME) is None


def test_rows_come_back_in_the_order_written(store: Store) -> None:
    begin(store)
    add(store, kept(5), kept(3), Row(day(5), What.CLEAR, "bed-made"))
    add(store, kept(4))
    assert rows_of(store) == [START, kept(5), kept(3), Row(day(5), What.CLEAR, "bed-made"), kept(4)]


def test_rows_since_a_date_leave_earlier_dates_out_and_keep_their_order(store: Store) -> None:
    begin(store)
    add(store, kept(5), kept(3), kept(4))
    assert rows_of(store, since=day(4)) == [kept(5), kept(4)]
    assert rows_of(store, since=day(6)) == []


@pytest.mark.parametrize("what", What)
def test_every_kind_of_row_reads_back(store: Store, what: What) -> None:
    row = Row(day(2), what, "dog-bowl", '{"title": "Zażółć 🐕", "minutes": 5}' + " " * 20_000)
    begin(store)
    add(store, row)
    assert rows_of(store) == [START, row]


@pytest.mark.parametrize("year", [1, 9999])
def test_the_first_and_the_last_date_of_the_calendar_can_be_kept(store: Store, year: int) -> None:
    row = Row(day(1).replace(year=year), What.MINUTES, "", "20")
    begin(store)
    add(store, row)
    assert row in rows_of(store, since=row.date)


def test_a_request_that_is_sent_again_writes_nothing(store: Store) -> None:
    begin(store)
    assert add(store, kept(1), kept(1, "door-shelf"), request_id="r1")
    before = version_of(store)
    assert not add(store, kept(2), request_id="r1")
    assert rows_of(store) == [START, kept(1), kept(1, "door-shelf")]
    assert version_of(store) == before


def test_two_households_may_use_the_same_request_id(store: Store) -> None:
    begin(store)
    begin(store, "other")
    assert add(store, kept(1), request_id="r1")
    assert add(store, kept(1), request_id="r1", household_id="other")


def test_households_do_not_see_each_other(store: Store) -> None:
    begin(store)
    begin(store, "other")
    add(store, kept(2), household_id="other")
    with store.writing("other") as writing:
        writing.settings("UTC", time(15))
        writing.save_standings([saved(1)])
        writing.add_course(CourseVersion(day(2), "d2"), "{}")
    assert rows_of(store) == [START]
    with store.reading(HOME) as reading:
        assert list(reading.courses()) == [COURSE]
        assert reading.standing(day(9), ["d1"]) is None
        household = reading.household()
    assert household is not None
    assert household.zone == HOUSEHOLD.zone


def test_no_rows_are_nothing_to_write(store: Store) -> None:
    begin(store)
    before = version_of(store)
    assert add(store)
    assert version_of(store) == before


def test_settings_change_the_zone_and_the_hour(store: Store) -> None:
    begin(store)
    with store.writing(HOME) as writing:
        writing.settings("Pacific/Auckland", time(15, 30))
    found = store.version(HOME)
    assert found is not None
    assert (found.zone, found.day_starts) == ("Pacific/Auckland", time(15, 30))
    assert rows_of(store) == [START]


def test_course_versions_come_oldest_first_and_one_of_the_same_date_is_replaced(store: Store) -> None:
    versions = [
        CourseVersion(day(9), "d9"),
        CourseVersion(day(5), "d5"),
        CourseVersion(day(9), "e9"),
    ]
    begin(store)
    for version in versions:
        with store.writing(HOME) as writing:
            writing.add_course(version, f'"{version.digest}"')
    with store.reading(HOME) as reading:
        assert list(reading.courses()) == [COURSE, versions[1], versions[2]]
        assert reading.course_content("e9") == '"e9"'


@pytest.mark.parametrize("change", CHANGES)
def test_every_change_gives_a_later_version_at_once(store: Store, change: str) -> None:
    begin(store)
    before = version_of(store)
    with store.writing(HOME) as writing:
        CHANGES[change](writing)
        inside = writing.household()
    assert inside is not None
    assert version_of(store) == inside.version > before


def test_a_saved_standing_is_a_cache_and_leaves_the_version(store: Store) -> None:
    begin(store)
    before = version_of(store)
    with store.writing(HOME) as writing:
        writing.save_standings([saved(1)])
    assert version_of(store) == before


@pytest.mark.parametrize("meanwhile", ["in one transaction", "in two"])
def test_a_version_never_comes_back(store: Store, meanwhile: str) -> None:
    begin(store)
    add(store, kept(1))
    before = version_of(store)
    with store.writing(HOME) as writing:
        writing.clear()
        if meanwhile == "in one transaction":
            writing.create(HOUSEHOLD)
    if meanwhile == "in two":
        begin(store)
    assert version_of(store) > before


def test_the_latest_standing_before_a_date_is_found(store: Store) -> None:
    begin(store)
    with store.writing(HOME) as writing:
        for standing in (saved(2), saved(4), saved(3), saved(5, digest="d2")):
            writing.save_standings([standing])
    with store.reading(HOME) as reading:
        assert reading.standing(day(5), ["d1"]) == saved(4)
        assert reading.standing(day(4), ["d1"]) == saved(3)
        assert reading.standing(day(2), ["d1"]) is None
        assert reading.standing(day(9), ["d2"]) == saved(5, digest="d2")


def test_a_standing_of_the_same_date_is_replaced(store: Store) -> None:
    begin(store)
    with store.writing(HOME) as writing:
        writing.save_standings([saved(2)])
        writing.save_standings([saved(2, digest="d2", state='{"phase": "steady"}')])
    with store.reading(HOME) as reading:
        assert reading.standing(day(9), ["d1"]) is None
        assert reading.standing(day(9), ["d2"]) == saved(2, digest="d2", state='{"phase": "steady"}')


def test_saving_thins_out_the_standings_of_old_dates_but_for_those_that_are_named(store: Store) -> None:
    begin(store)
    begin(store, "other")
    with store.writing("other") as writing:
        writing.save_standings([saved(2)])
    with store.writing(HOME) as writing:
        writing.save_standings([saved(number) for number in range(1, 7)])
        writing.save_standings([saved(7)], Thinning(day(5), frozenset({day(3), day(4)})))
    with store.reading(HOME) as reading:
        found = [reading.standing(day(number + 1), ["d1"]) for number in range(1, 8)]
    assert found == [None, None, saved(3), saved(4), saved(5), saved(6), saved(7)]
    with store.reading("other") as reading:
        assert reading.standing(day(9), ["d1"]) == saved(2)


def test_a_log_just_put_in_its_place_is_what_is_read_with_what_came_after_it(store: Store) -> None:
    begin(store)
    add(store, kept(1))
    rows = [replace(kept(2), step=f"step-{number}") for number in range(5_000)]
    with store.writing(HOME) as writing:
        writing.replace_log(HOUSEHOLD, rows, NOW)
        assert list(writing.rows()) == rows
        writing.append([kept(3)], NOW)
        assert list(writing.rows()) == [*rows, kept(3)]
    with store.reading(HOME) as reading:
        assert list(reading.rows()) == [*rows, kept(3)]
    with store.writing(HOME) as writing:
        writing.replace_log(HOUSEHOLD, rows, NOW)
        writing.clear()
        assert list(writing.rows()) == []


def test_rows_throw_away_the_standings_that_fold_their_dates(store: Store) -> None:
    begin(store)
    with store.writing(HOME) as writing:
        for number in (2, 3, 4):
            writing.save_standings([saved(number)])
    add(store, kept(7), kept(3))
    with store.reading(HOME) as reading:
        assert reading.standing(day(9), ["d1"]) == saved(2)


def test_a_request_sent_again_throws_no_standing_away(store: Store) -> None:
    begin(store)
    add(store, kept(1), request_id="r1")
    with store.writing(HOME) as writing:
        writing.save_standings([saved(2)])
    add(store, kept(1), request_id="r1")
    with store.reading(HOME) as reading:
        assert reading.standing(day(9), ["d1"]) == saved(2)


def test_clear_deletes_everything_of_one_household(store: Store) -> None:
    begin(store)
    begin(store, "other")
    with store.writing(HOME) as writing:
        writing.save_standings([saved(1)])
        writing.clear()
    assert store.version(HOME) is None
    with store.reading(HOME) as reading:
        assert list(reading.rows()) == []
        assert list(reading.courses()) == []
        assert reading.standing(day(9), ["d1"]) is None
    assert rows_of(store, household_id="other") == [START]


def test_an_import_replaces_the_log_in_one_transaction(store: Store) -> None:
    begin(store)
    add(store, kept(1), request_id="r1")
    with store.writing(HOME) as writing:
        writing.clear()
        writing.create(HOUSEHOLD)
        writing.append([START, kept(2)], NOW, "r1")
    assert rows_of(store) == [START, kept(2)]


def write_and_fail(store: Store, write: Callable[[Writing], object]) -> None:
    with store.writing(HOME) as writing:
        write(writing)
        raise Stop


@pytest.mark.parametrize("write", WRITES | REMOVALS)
def test_an_error_inside_a_transaction_takes_everything_back(store: Store, write: str) -> None:
    begin(store)
    before = version_of(store)
    with pytest.raises(Stop):
        write_and_fail(store, (WRITES | REMOVALS)[write])
    assert version_of(store) == before
    assert rows_of(store) == [START]
    with store.reading(HOME) as reading:
        assert list(reading.courses()) == [COURSE]
        assert reading.standing(day(9), ["d1"]) is None


def test_a_writer_reads_what_it_has_written(store: Store) -> None:
    begin(store)
    with store.writing(HOME) as writing:
        writing.append([kept(1)], NOW)
        writing.append([kept(2)], NOW)
        assert list(writing.rows(since=day(1))) == [START, kept(1), kept(2)]


def test_a_reader_sees_the_household_at_one_instant(store: Store) -> None:
    begin(store)
    with store.reading(HOME) as reading:
        before = reading.household()
        add(store, kept(1))
        assert list(reading.rows()) == [START]
        assert reading.household() == before
    assert rows_of(store) == [START, kept(1)]


@pytest.mark.parametrize(
    ("row", "request_id"),
    [
        (Row(day(1), What.ADD, "walk", "a\0b"), None),
        (Row(day(1), What.KEPT, "wa\0lk"), None),
        (Row(day(1), What.ADD, "walk", "half \ud83d"), None),
        (kept(1), "r\0"),
        (kept(1), "r" * 201),
    ],
)
def test_text_that_no_database_could_hold_is_refused(store: Store, row: Row, request_id: str | None) -> None:
    begin(store)
    with pytest.raises(Malformed):
        add(store, kept(1), row, request_id=request_id)
    assert rows_of(store) == [START]


def test_an_instant_without_a_zone_is_refused(store: Store) -> None:
    begin(store)
    with store.writing(HOME) as writing, pytest.raises(ValueError, match="zone"):
        writing.append([kept(1)], datetime(2027, 1, 4, 7, 30))  # noqa: DTZ001  that is what is refused


def test_when_marks_were_written_is_told_of_those_not_excused_alone_from_a_date_on(store: Store) -> None:
    begin(store)
    late = NOW.replace(hour=21, minute=7)
    with store.writing(HOME) as writing:
        writing.append([kept(1), kept(2)], NOW)
        writing.append([Row(day(2), What.MISSED, "post-opened"), Row(day(2), What.CLEAR, "bed-made")], late)
        writing.append([Row(day(2), What.MINUTES, value="40"), Row(day(2), What.EXCUSED, "bed-made")], late)
    with store.reading(HOME) as reading:
        found = reading.marked_at(day(2))
    assert sorted((one.date, one.step, one.at) for one in found) == [
        (day(2), "bed-made", NOW),
        (day(2), "post-opened", late),
    ]
