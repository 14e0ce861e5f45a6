"""A log is read as it is kept, and what cannot be understood is said or left out, in every kind of store."""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import TYPE_CHECKING

import pytest
from sqlalchemy import text

from coach.errors import StoreError
from coach.ground.ports import Household
from coach.ground.rows import RawRow
from coach.progress.days import FIRST_HOUR
from coach.progress.log import Row, What
from store.postgres_server import seeing_all

if TYPE_CHECKING:
    from coach.store.households import SqlStore
    from coach.store.memory import MemoryStore

NOW = datetime(2027, 1, 4, 12, tzinfo=UTC)
ROWS = [
    Row(date(2027, 1, 4), What.START, "bed"),
    Row(date(2027, 1, 5), What.ADD, "cups", '{"title":"back\\\\slash “x” ☕"}'),
    Row(date(2027, 1, 6), What.KEPT, "bed"),
]


def begin(store: MemoryStore | SqlStore) -> None:
    with store.writing("home") as writing:
        writing.create(Household("home", "course", "UTC", FIRST_HOUR, 0))
        writing.append(ROWS, NOW)


def insert(store: SqlStore, what: str) -> None:
    statement = (
        "INSERT INTO log (household_id, seq, date, what, step, value, logged_at) "
        "SELECT household_id, 9, date, :what, 'bed', 'x', logged_at FROM log WHERE seq = 3"
    )
    with seeing_all(store.engine).begin() as connection:
        connection.execute(text(statement), {"what": what})


def test_the_raw_log_is_the_log(store: MemoryStore | SqlStore) -> None:
    begin(store)
    with store.reading("home") as reading:
        assert reading.raw_log() == [
            RawRow(str(row.date), row.what.value, row.step, row.value) for row in ROWS
        ]
        assert list(reading.log().rows) == ROWS
        assert list(reading.log(date(2027, 1, 5)).rows) == ROWS[1:]
        assert list(reading.log().unread) == []


def test_a_kind_of_row_that_nobody_knows_is_left_out_of_the_rows(sql_store: SqlStore) -> None:
    begin(sql_store)
    insert(sql_store, "frobnicate")
    with sql_store.reading("home") as reading:
        assert list(reading.rows()) == ROWS
        assert list(reading.log().unread) == [RawRow("2027-01-06", "frobnicate", "bed", "x")]
        assert list(reading.log(date(2027, 1, 7)).unread) == []
        assert len(reading.raw_log()) == 4


@pytest.mark.parametrize("since", [None, date(2027, 1, 5)])
def test_bytes_in_the_place_of_a_text_are_read_as_text(sqlite_store: SqlStore, since: date | None) -> None:
    begin(sqlite_store)
    with sqlite_store.engine.begin() as connection:
        connection.execute(text("DROP TRIGGER log_is_append_only"))
        connection.execute(text("UPDATE log SET value = CAST(value AS BLOB), step = CAST(step AS BLOB)"))
    with sqlite_store.reading("home") as reading:
        assert list(reading.rows(since)) == [row for row in ROWS if since is None or row.date >= since]


def test_a_household_that_cannot_be_understood_is_said(sql_store: SqlStore) -> None:
    begin(sql_store)
    with seeing_all(sql_store.engine).begin() as connection:
        connection.execute(text("UPDATE household SET week_starts = 'someday'"))
    with pytest.raises(StoreError, match="cannot be read, so nothing can be shown or changed"):
        sql_store.version("home")
    with sql_store.reading("home") as reading:
        with pytest.raises(StoreError):
            reading.household()
        assert len(reading.raw_log()) == 3
