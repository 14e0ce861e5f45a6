"""Backups: a whole copy, and the way back that loses nothing when it fails."""

from __future__ import annotations

import sqlite3
import stat
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from coach.errors import Malformed, StoreError
from coach.store.backup import ASIDE, backup, restore
from coach.store.opening import open_store
from store.tern_street import HOME, NOW, add, begin, dinner, kept, plan_of, put, rows_of, version_of

if TYPE_CHECKING:
    from coach.store.households import SqlStore


@pytest.fixture
def target(tmp_path: Path) -> Path:
    """Where the backup goes: another folder than the database's."""
    folder = tmp_path / "stick 100%"
    folder.mkdir()
    return folder / "steading.backup"


def names(folder: Path) -> set[str]:
    return {path.name for path in folder.iterdir()}


def refuse(url: str, source: Path, said: str, live: Path) -> None:
    """A restore that is refused with these words leaves the database and its folder as they were."""
    before = live.read_bytes(), names(live.parent)
    with pytest.raises((Malformed, StoreError), match=said):
        restore(url, source)
    assert (live.read_bytes(), names(live.parent)) == before


def test_a_backup_comes_back_whole(sqlite_store: SqlStore, sqlite_url: str, target: Path) -> None:
    begin(sqlite_store)
    add(sqlite_store, kept(1), request_id="r1")
    put(sqlite_store, dinner(1))
    before = rows_of(sqlite_store), plan_of(sqlite_store)
    backup(sqlite_url, target)
    add(sqlite_store, kept(2))
    put(sqlite_store, dinner(1, "stew"))
    restore(sqlite_url, target)
    assert (rows_of(sqlite_store), plan_of(sqlite_store)) == before
    assert not add(sqlite_store, kept(1), request_id="r1")


def test_a_backup_taken_while_the_service_runs_has_every_row_written_before(
    sqlite_store: SqlStore, sqlite_url: str, target: Path, tmp_path: Path
) -> None:
    begin(sqlite_store)
    with sqlite_store.writing(HOME) as writing:
        backup(sqlite_url, target)
        writing.append([kept(1)], NOW)
    restore(f"sqlite:///{tmp_path / 'new.db'}", target)
    with closing(open_store(f"sqlite:///{tmp_path / 'new.db'}")) as restored:
        assert len(rows_of(restored)) == 1
    assert len(rows_of(sqlite_store)) == 2


def test_a_backup_is_one_file_for_its_owner_alone(
    sqlite_store: SqlStore, sqlite_url: str, target: Path
) -> None:
    begin(sqlite_store)
    backup(sqlite_url, target)
    assert names(target.parent) == {target.name}
    assert stat.S_IMODE(target.stat().st_mode) == 0o600
    with closing(sqlite3.connect(target)) as connection:
        assert connection.execute("PRAGMA journal_mode").fetchone() == ("delete",)


def test_a_backup_replaces_an_older_one(sqlite_store: SqlStore, sqlite_url: str, target: Path) -> None:
    begin(sqlite_store)
    backup(sqlite_url, target)
    add(sqlite_store, kept(1))
    backup(sqlite_url, target)
    restore(sqlite_url, target)
    assert len(rows_of(sqlite_store)) == 2


def test_a_version_after_a_restore_is_none_that_was_used_before(
    sqlite_store: SqlStore, sqlite_url: str, target: Path
) -> None:
    begin(sqlite_store)
    backup(sqlite_url, target)
    add(sqlite_store, kept(1))
    used = version_of(sqlite_store)
    restore(sqlite_url, target)
    add(sqlite_store, kept(2))
    assert version_of(sqlite_store) > used


def test_a_restore_makes_a_database_where_none_is(
    sqlite_store: SqlStore, sqlite_url: str, tmp_path: Path
) -> None:
    begin(sqlite_store)
    backup(sqlite_url, tmp_path / "b")
    sqlite_store.close()
    (tmp_path / "home.db").unlink()
    restore(sqlite_url, tmp_path / "b")
    assert len(rows_of(sqlite_store)) == 1


def test_a_restore_takes_the_place_of_a_damaged_database_and_keeps_it_aside(
    sqlite_store: SqlStore, sqlite_url: str, tmp_path: Path
) -> None:
    begin(sqlite_store)
    backup(sqlite_url, tmp_path / "b")
    sqlite_store.close()
    live = tmp_path / "home.db"
    live.write_bytes(b"not a database " * 1000)
    restore(sqlite_url, tmp_path / "b")
    assert len(rows_of(sqlite_store)) == 1
    assert (tmp_path / f"home.db{ASIDE}").read_bytes() == b"not a database " * 1000


def test_a_restore_leaves_nothing_aside_when_it_is_done(
    sqlite_store: SqlStore, sqlite_url: str, target: Path
) -> None:
    begin(sqlite_store)
    sqlite_store.close()
    backup(sqlite_url, target)
    before = names(target.parent.parent)
    restore(sqlite_url, target)
    assert names(target.parent.parent) == before


def test_an_old_database_is_brought_up_to_date_as_it_is_restored(sqlite_url: str, tmp_path: Path) -> None:
    source = tmp_path / "first-version.db"
    with closing(sqlite3.connect(source)) as connection:
        connection.executescript((Path(__file__).parent / "versions" / "0001.sql").read_text("utf-8"))
    restore(sqlite_url, source)
    with closing(open_store(sqlite_url)) as store:
        assert kept(1) in rows_of(store)


def test_a_backup_that_is_no_database_is_refused(
    sqlite_store: SqlStore, sqlite_url: str, target: Path, tmp_path: Path
) -> None:
    begin(sqlite_store)
    sqlite_store.close()
    target.write_text("date,what,step,value\n" * 500)
    refuse(sqlite_url, target, r"steading\.backup is not a Steading database", tmp_path / "home.db")


def test_a_backup_of_another_program_is_refused(
    sqlite_store: SqlStore, sqlite_url: str, target: Path, tmp_path: Path
) -> None:
    begin(sqlite_store)
    sqlite_store.close()
    with closing(sqlite3.connect(target)) as connection:
        connection.execute("CREATE TABLE recipe (title TEXT)")
    refuse(sqlite_url, target, r"steading\.backup is not a Steading database", tmp_path / "home.db")


def test_an_empty_backup_is_refused(
    sqlite_store: SqlStore, sqlite_url: str, target: Path, tmp_path: Path
) -> None:
    begin(sqlite_store)
    sqlite_store.close()
    target.touch()
    refuse(sqlite_url, target, "is empty. Nothing was taken from it", tmp_path / "home.db")


@pytest.mark.parametrize("share", [0.3, 0.9])
def test_a_backup_that_was_cut_short_is_refused(
    sqlite_store: SqlStore, sqlite_url: str, target: Path, tmp_path: Path, share: float
) -> None:
    begin(sqlite_store)
    add(sqlite_store, *[kept(number) for number in range(1, 500)])
    sqlite_store.close()
    backup(sqlite_url, target)
    whole = target.read_bytes()
    target.write_bytes(whole[: int(len(whole) * share)])
    refuse(sqlite_url, target, r"steading\.backup is damaged", tmp_path / "home.db")


def test_a_backup_with_a_damaged_page_is_refused(
    sqlite_store: SqlStore, sqlite_url: str, target: Path, tmp_path: Path
) -> None:
    begin(sqlite_store)
    add(sqlite_store, *[kept(number) for number in range(1, 500)])
    sqlite_store.close()
    backup(sqlite_url, target)
    content = bytearray(target.read_bytes())
    content[-3 * 4096 : -2 * 4096] = b"\xff" * 4096
    target.write_bytes(content)
    refuse(sqlite_url, target, r"steading\.backup is damaged", tmp_path / "home.db")


def test_a_backup_of_a_newer_version_is_refused_by_its_own_name(
    sqlite_store: SqlStore, sqlite_url: str, target: Path, tmp_path: Path
) -> None:
    begin(sqlite_store)
    sqlite_store.close()
    backup(sqlite_url, target)
    with closing(sqlite3.connect(target)) as connection:
        connection.execute("UPDATE alembic_version SET version_num = '9999'")
        connection.commit()
    refuse(
        sqlite_url,
        target,
        r"^The backup .*steading\.backup was written by a newer Steading",
        tmp_path / "home.db",
    )


def test_a_database_of_a_newer_version_can_be_replaced_by_an_earlier_backup(
    sqlite_store: SqlStore, sqlite_url: str, target: Path, tmp_path: Path
) -> None:
    begin(sqlite_store)
    backup(sqlite_url, target)
    with closing(sqlite3.connect(tmp_path / "home.db")) as connection:
        connection.execute("UPDATE alembic_version SET version_num = '9999'")
        connection.commit()
    restore(sqlite_url, target)
    open_store(sqlite_url).close()


def test_the_database_of_another_program_is_never_replaced(
    sqlite_store: SqlStore, sqlite_url: str, target: Path, tmp_path: Path
) -> None:
    begin(sqlite_store)
    backup(sqlite_url, target)
    other = tmp_path / "recipes.db"
    with closing(sqlite3.connect(other)) as connection:
        connection.execute("CREATE TABLE recipe (title TEXT)")
    refuse(f"sqlite:///{other}", target, r"recipes\.db is not a Steading database", other)


def test_what_is_not_there_is_named(sqlite_url: str, target: Path, tmp_path: Path) -> None:
    with pytest.raises(StoreError, match=r"There is no database .* yet"):
        backup(sqlite_url, target)
    with pytest.raises(StoreError, match=r"There is no file .*steading\.backup"):
        restore(sqlite_url, target)
    assert names(tmp_path) == {target.parent.name}


def test_a_database_is_no_backup_of_itself(sqlite_store: SqlStore, sqlite_url: str, tmp_path: Path) -> None:
    begin(sqlite_store)
    (tmp_path / "folder").mkdir()
    for act in (backup, restore):
        with pytest.raises(StoreError, match="is the database itself"):
            act(sqlite_url, tmp_path / "folder" / ".." / "home.db")
    assert len(rows_of(sqlite_store)) == 1


def test_a_folder_or_a_place_that_is_not_there_cannot_become_a_backup(
    sqlite_store: SqlStore, sqlite_url: str, tmp_path: Path
) -> None:
    begin(sqlite_store)
    (tmp_path / "folder" / "in-use").mkdir(parents=True)
    before = names(tmp_path)
    with pytest.raises(StoreError, match="folder cannot be written: Is a directory"):
        backup(sqlite_url, tmp_path / "folder")
    with pytest.raises(StoreError, match=r"Nothing can be written beside .*: No such file or directory"):
        backup(sqlite_url, tmp_path / "nowhere" / "backup")
    assert names(tmp_path) == before


def test_postgresql_is_left_to_its_own_tools(target: Path) -> None:
    for act in (backup, restore):
        with pytest.raises(StoreError, match=r"pg_dump .* `pg_restore"):
            act("postgresql://kitchen@host/home", target)
