"""A backup counts once database and copy were found whole and the same, row for row."""

from __future__ import annotations

import contextlib
import sqlite3
from contextlib import closing
from typing import TYPE_CHECKING

import pytest

from coach.errors import StoreError
from coach.store import backup as module
from coach.store.backup import backup, restore
from coach.store.copies import FileCopies
from coach.store.proving import tally
from coach.store.results import check_file
from store.broken import PAGE, change, garble
from store.tern_street import add, begin, kept, rows_of

if TYPE_CHECKING:
    from pathlib import Path

    from coach.store.households import SqlStore


@pytest.fixture
def live(sqlite_store: SqlStore, tmp_path: Path) -> Path:
    """A household's database that nobody has open any more."""
    begin(sqlite_store)
    add(sqlite_store, *[kept(number) for number in range(1, 300)])
    sqlite_store.close()
    return tmp_path / "home.db"


@pytest.mark.parametrize("table", ["log", "ix_log_household_id_date", "plan_value", "household"])
def test_a_database_with_a_garbled_page_is_not_backed_up(
    live: Path, sqlite_url: str, tmp_path: Path, table: str
) -> None:
    garble(live, table)
    with pytest.raises(StoreError, match=r"home\.db is damaged .*so no backup was made\. .*/rescue"):
        backup(sqlite_url, tmp_path / "b")
    assert {path.name for path in tmp_path.iterdir()} == {"home.db"}


def test_a_page_that_lost_its_text_makes_no_backup_that_a_restore_would_refuse(
    live: Path, sqlite_url: str, tmp_path: Path
) -> None:
    change(live, ["INSERT INTO course_version VALUES ('home', '2027-01-05', 'd', hex(zeroblob(4500)))"])
    whole, outcomes = live.read_bytes(), set()
    for start in range(0, len(whole), PAGE):
        live.write_bytes(whole[:start] + bytes(PAGE) + whole[start + PAGE :])
        with contextlib.suppress(StoreError):
            backup(sqlite_url, tmp_path / "b")
        outcomes.add((tmp_path / "b").exists() and check_file(tmp_path / "b"))
    assert outcomes == {False}


def test_a_value_that_no_restore_takes_is_named_and_all_of_it_still_kept_before_it_goes(
    live: Path, sqlite_url: str, tmp_path: Path
) -> None:
    change(live, ["UPDATE household SET day_starts = 'late'"])
    with pytest.raises(StoreError, match=r"row 1 of the table “household”, column “day_starts”.*no backup"):
        backup(sqlite_url, tmp_path / "b")
    assert not (tmp_path / "b").exists()
    assert FileCopies(sqlite_url).keep("restore").check


@pytest.mark.parametrize("value", ["char(0)", "x'00ff'", "CAST(x'ff' AS TEXT)"])
def test_what_is_worked_out_anew_costs_no_backup_and_is_not_brought_back(
    live: Path, sqlite_url: str, tmp_path: Path, value: str
) -> None:
    row = "INSERT INTO standing VALUES ('home', '2027-01-05', 'd', ?)"
    change(live, [row.replace("?", value)])
    backup(sqlite_url, tmp_path / "b")
    restore(sqlite_url, tmp_path / "b")
    with closing(sqlite3.connect(live)) as connection:
        assert connection.execute("SELECT count(*) FROM standing WHERE digest = 'd'").fetchone() == (0,)


def test_a_bad_copy_never_takes_the_place_of_a_good_one(live: Path, sqlite_url: str, tmp_path: Path) -> None:
    backup(sqlite_url, tmp_path / "b")
    before = (tmp_path / "b").read_bytes()
    garble(live)
    with pytest.raises(StoreError, match=r"no backup was made, and .*/b is as it was"):
        backup(sqlite_url, tmp_path / "b")
    assert (tmp_path / "b").read_bytes() == before


def test_rows_of_a_household_that_is_not_there_are_named(live: Path, sqlite_url: str, tmp_path: Path) -> None:
    change(live, ["INSERT INTO standing VALUES ('other', '2027-01-04', 'd', '{}')"])
    with pytest.raises(StoreError, match="the table “standing” has rows of a household that is not there"):
        backup(sqlite_url, tmp_path / "b")


def test_what_another_program_put_in_is_named(live: Path, sqlite_url: str, tmp_path: Path) -> None:
    change(live, ["CREATE TRIGGER busy AFTER INSERT ON log BEGIN DELETE FROM standing; END"])
    with pytest.raises(StoreError, match="the trigger “busy” is not Steading's"):
        backup(sqlite_url, tmp_path / "b")


def test_a_database_that_another_program_changed_is_still_kept_before_it_is_replaced(
    live: Path, sqlite_url: str, tmp_path: Path, sqlite_store: SqlStore
) -> None:
    backup(sqlite_url, tmp_path / "b")
    change(live, ["CREATE TRIGGER busy AFTER INSERT ON log BEGIN DELETE FROM standing; END"])
    made = FileCopies(sqlite_url).restore(tmp_path / "b")
    assert made is not None
    assert made.check is not None
    assert "the trigger “busy”" in made.check.fault
    assert len(rows_of(sqlite_store)) == 300


def test_a_copy_that_is_not_as_the_database_is_thrown_away(
    live: Path, sqlite_url: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    copy = module._copy  # noqa: SLF001  a disk that keeps less than it was given cannot be had

    def lose(old: sqlite3.Connection, source: object, target: module._File) -> None:
        copy(old, source, target)  # type: ignore[arg-type]
        change(target.path, ["DELETE FROM log WHERE seq = 7"])

    monkeypatch.setattr(module, "_copy", lose)
    assert live.exists()
    (tmp_path / "b").write_text("an older one")
    with pytest.raises(StoreError, match="did not come out as the database is"):
        backup(sqlite_url, tmp_path / "b")
    assert (tmp_path / "b").read_text() == "an older one"


def test_a_backup_says_how_many_rows_it_holds(live: Path, sqlite_url: str, tmp_path: Path) -> None:
    told = backup(sqlite_url, tmp_path / "b")
    assert (told.rows["log"], told.rows["household"]) == (300, 1)
    with closing(sqlite3.connect(live)) as connection:
        assert tally(connection) == told


def test_a_database_with_a_garbled_index_can_be_replaced(
    live: Path, sqlite_url: str, tmp_path: Path, sqlite_store: SqlStore
) -> None:
    backup(sqlite_url, tmp_path / "b")
    garble(live, "ix_log_household_id_date")
    restore(sqlite_url, tmp_path / "b")
    assert len(rows_of(sqlite_store)) == 300
    backup(sqlite_url, tmp_path / "c")


def test_a_log_without_its_database_is_not_read_into_the_restored_one(
    sqlite_store: SqlStore, sqlite_url: str, tmp_path: Path
) -> None:
    begin(sqlite_store)
    backup(sqlite_url, tmp_path / "b")
    add(sqlite_store, kept(1))
    log = (tmp_path / "home.db-wal").read_bytes()
    sqlite_store.close()
    (tmp_path / "home.db").unlink()
    (tmp_path / "home.db-wal").write_bytes(log)
    restore(sqlite_url, tmp_path / "b")
    assert len(rows_of(sqlite_store)) == 1
    assert (tmp_path / "home.db.before-restore-wal").read_bytes() == log
