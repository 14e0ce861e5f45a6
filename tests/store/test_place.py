"""A database file that is deleted or replaced while it is open takes no write that would be gone later."""

from __future__ import annotations

import shutil
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack, closing
from typing import TYPE_CHECKING

import pytest

from coach.errors import StoreError
from coach.store.backup import backup, restore
from coach.store.copies import FileCopies, copies_of
from coach.store.memory import MemoryStore
from coach.store.opening import open_store
from store.tern_street import HOME, NOW, add, begin, kept, rows_of, version_of

if TYPE_CHECKING:
    from pathlib import Path

    from coach.store.households import SqlStore


@pytest.fixture
def file(sqlite_store: SqlStore, tmp_path: Path) -> Path:
    """The database's file, with a household in it."""
    begin(sqlite_store)
    return tmp_path / "home.db"


def copies_in(url: str, store: SqlStore) -> FileCopies:
    found = copies_of(url, store)
    assert found is not None
    return found


def refused(store: SqlStore, said: str) -> None:
    before = len(rows_of(store))
    with pytest.raises(StoreError, match=said):
        add(store, kept(1))
    assert len(rows_of(store)) == before
    trouble = store.trouble()
    assert trouble is not None
    assert said in trouble


def test_a_store_in_its_place_is_in_no_trouble(sqlite_store: SqlStore, file: Path) -> None:
    assert file.exists()
    assert sqlite_store.trouble() is None
    assert MemoryStore().trouble() is None


def test_a_deleted_file_is_written_no_more_and_still_read(sqlite_store: SqlStore, file: Path) -> None:
    file.unlink()
    refused(sqlite_store, "home.db is not in its place")
    assert not file.exists()


def test_a_moved_file_is_written_again_once_it_is_back(
    sqlite_store: SqlStore, file: Path, tmp_path: Path
) -> None:
    file.rename(tmp_path / "elsewhere")
    refused(sqlite_store, "put the file back")
    (tmp_path / "elsewhere").rename(file)
    assert sqlite_store.trouble() is None
    assert add(sqlite_store, kept(1))


def test_a_replaced_file_is_written_no_more_until_a_restart(
    sqlite_store: SqlStore, sqlite_url: str, file: Path, tmp_path: Path
) -> None:
    backup(sqlite_url, tmp_path / "b")
    add(sqlite_store, kept(1))
    shutil.copyfile(tmp_path / "b", tmp_path / "c")
    (tmp_path / "c").replace(file)
    refused(sqlite_store, "Another file lies in the place of the database")
    sqlite_store.close()
    with closing(open_store(sqlite_url)) as again:
        assert len(rows_of(again)) == 1
        assert add(again, kept(1))


@pytest.mark.parametrize("instead", [None, b"", b"something else"])
def test_a_log_that_was_deleted_or_replaced_is_written_no_more(
    sqlite_store: SqlStore, file: Path, instead: bytes | None
) -> None:
    log = file.with_name("home.db-wal")
    log.rename(file.with_name("kept"))
    if instead is not None:
        log.write_bytes(instead)
    refused(sqlite_store, "home.db-wal, which belongs to the database")
    file.with_name("kept").replace(log)
    assert add(sqlite_store, kept(1))


def test_a_file_that_goes_while_something_is_written_takes_nothing(
    sqlite_store: SqlStore, file: Path
) -> None:
    def write() -> None:
        with sqlite_store.writing(HOME) as writing:
            writing.append([kept(1)], NOW)
            file.unlink()

    with pytest.raises(StoreError, match="not in its place"):
        write()
    assert len(rows_of(sqlite_store)) == 1


def test_no_new_connection_makes_an_empty_file_in_its_place(sqlite_store: SqlStore, file: Path) -> None:
    file.unlink()
    with ExitStack() as open_at_once:
        open_at_once.enter_context(sqlite_store.reading(HOME))
        second = sqlite_store.reading(HOME)
        with pytest.raises(StoreError, match="not in its place"):
            open_at_once.enter_context(second)
    assert not file.exists()
    sqlite_store.close()
    with pytest.raises(StoreError, match="not in its place"):
        version_of(sqlite_store)
    assert not file.exists()


def test_many_that_connect_at_once_find_it_in_its_place(sqlite_store: SqlStore, file: Path) -> None:
    sqlite_store.close()
    with ThreadPoolExecutor(12) as pool:
        assert [len(rows) for rows in pool.map(lambda _: rows_of(sqlite_store), range(48))] == [1] * 48
    assert file.exists()


def test_our_own_restore_is_no_replacement(sqlite_store: SqlStore, sqlite_url: str, file: Path) -> None:
    backup(sqlite_url, file.with_name("b"))
    add(sqlite_store, kept(1))
    restore(sqlite_url, file.with_name("b"))
    assert sqlite_store.trouble() is None
    assert len(rows_of(sqlite_store)) == 1
    assert add(sqlite_store, kept(1))


def test_what_is_held_open_is_saved_though_its_file_is_gone(
    sqlite_store: SqlStore, sqlite_url: str, file: Path, tmp_path: Path
) -> None:
    add(sqlite_store, kept(1), kept(2))
    file.unlink()
    copies_in(sqlite_url, sqlite_store).backup(tmp_path / "b")
    sqlite_store.close()
    restore(sqlite_url, tmp_path / "b")
    with closing(open_store(sqlite_url)) as again:
        assert len(rows_of(again)) == 3


@pytest.mark.parametrize("instead", [None, b"", b"not a database " * 1000])
def test_a_restore_by_the_one_who_holds_it_open_goes_on_with_what_is_restored(
    sqlite_store: SqlStore, sqlite_url: str, file: Path, instead: bytes | None
) -> None:
    copies = copies_in(sqlite_url, sqlite_store)
    copies.backup(file.with_name("b"))
    add(sqlite_store, kept(1))
    file.rename(file.with_name("elsewhere"))
    if instead is not None:
        file.write_bytes(instead)
    made = copies.restore(file.with_name("b"))
    assert made is not None
    assert sqlite_store.trouble() is None
    assert len(rows_of(sqlite_store)) == 1
    assert add(sqlite_store, kept(2))
    copies.restore(copies.file(made.name))
    assert rows_of(sqlite_store)[1:] == [kept(1)]
