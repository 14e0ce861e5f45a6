"""What a backup that proves itself costs, and a restore, and what a write pays to know its file's place."""

from __future__ import annotations

import sqlite3
import time
from contextlib import closing
from datetime import UTC, date, datetime, timedelta
from typing import TYPE_CHECKING

import pytest

from coach.store.backup import backup, restore
from coach.store.opening import open_store
from coach.store.results import check_file
from store.tern_street import begin

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from coach.store.households import SqlStore

MOST_READINGS = 12
"""A backup may cost as much as reading every row so often; it reads database and copy, and hashes both."""

MOST_OF_A_WRITE = 0.1
ROWS = 69_000


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("backups")


@pytest.fixture(scope="module")
def store(folder: Path) -> Iterator[SqlStore]:
    """Ten years of 20 steps: the rows of its log, and a saved standing for each week."""
    with closing(open_store(f"sqlite:///{folder / 'home.db'}")) as opened:
        begin(opened)
        first, at = date(2017, 1, 1), datetime(2027, 1, 4, 7, tzinfo=UTC).strftime("%Y-%m-%d %H:%M:%S.%f")
        log = [
            ("home", seq, str(first + timedelta(days=seq // 20)), "kept", "bed-made", "", at)
            for seq in range(10, ROWS)
        ]
        standings = [("home", str(first + timedelta(weeks=week)), "d", "x" * 10_000) for week in range(520)]
        with closing(sqlite3.connect(folder / "home.db")) as connection:
            columns = "household_id, seq, date, what, step, value, logged_at"
            connection.executemany(f"INSERT INTO log ({columns}) VALUES (?, ?, ?, ?, ?, ?, ?)", log)  # noqa: S608  ours
            connection.executemany("INSERT INTO standing VALUES (?, ?, ?, ?)", standings)
            connection.commit()
        yield opened


def seconds(act: Callable[[], object], times: int = 3) -> float:
    """Processor time of the quickest of some tries."""
    tries = []
    for _ in range(times):
        before = time.process_time()
        act()
        tries.append(time.process_time() - before)
    return min(tries)


def read_every_row(file: Path) -> None:
    with closing(sqlite3.connect(file)) as connection:
        for table in ("log", "standing", "household"):
            connection.execute(f"SELECT * FROM {table}").fetchall()  # noqa: S608  names of our own


def test_a_backup_that_proves_itself_costs_few_readings(store: SqlStore, folder: Path) -> None:
    url, copy = f"sqlite:///{folder / 'home.db'}", folder / "copy.db"
    assert store.trouble() is None
    reading = seconds(lambda: read_every_row(folder / "home.db"))
    proved = seconds(lambda: backup(url, copy))
    checked = seconds(lambda: check_file(copy))
    restored = seconds(lambda: restore(url, copy))
    print(f"\n{copy.stat().st_size / 1e6:.1f} MB, {ROWS} rows, read through in {reading:.2f} s")
    print(f"backup {proved:.2f} s, check {checked:.2f} s, restore {restored:.2f} s")
    assert proved < MOST_READINGS * reading


def test_to_know_where_a_file_lies_is_a_small_part_of_a_write(store: SqlStore) -> None:
    def ask() -> None:
        for _ in range(1000):
            store.trouble()

    def write() -> None:
        for _ in range(50):
            with store.writing("home") as writing:
                writing.settings("UTC", datetime(2027, 1, 4, 3, tzinfo=UTC).time())

    asking, writing = seconds(ask) / 1000, seconds(write) / 50
    print(f"\nasked: {asking * 1e6:.1f} µs; a write: {writing * 1e6:.0f} µs of processor time")
    assert 2 * asking < MOST_OF_A_WRITE * writing
