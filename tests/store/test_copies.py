"""Copies kept before something replaced the database: a few, named by date, and none lost too early."""

from __future__ import annotations

import re
import sqlite3
import stat
from contextlib import closing
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

import pytest

from coach.errors import Malformed, NotEditable, StoreError, Unknown
from coach.store import results
from coach.store.backup import backup
from coach.store.copies import DATED, MOST, FileCopies, copies_of
from store.broken import garble
from store.tern_street import HOME, add, begin, dinner, kept, plan_of, put, rows_of

if TYPE_CHECKING:
    from pathlib import Path

    from coach.store.households import SqlStore


@pytest.fixture
def copies(sqlite_store: SqlStore, sqlite_url: str) -> FileCopies:
    """The copies of a household that has begun."""
    begin(sqlite_store)
    found = copies_of(sqlite_url)
    assert found is not None
    return found


def test_a_server_has_tools_of_its_own() -> None:
    assert copies_of("postgresql://steading@localhost/steading") is None


def test_a_copy_lies_beside_the_database_and_is_named_by_date(copies: FileCopies, tmp_path: Path) -> None:
    made = copies.keep("import")
    assert re.fullmatch(r"20\d\d-\d\d-\d\d-\d{6}-\d{6}-before-import\.db", made.name)
    assert made.place == str(tmp_path / "home.db.copies" / made.name)
    assert made.before == "import"
    assert copies.kept() == [made]


def test_copies_are_for_their_owner_alone(copies: FileCopies) -> None:
    file = copies.file(copies.keep("import").name)
    assert stat.S_IMODE(file.parent.stat().st_mode) == 0o700
    assert stat.S_IMODE(file.stat().st_mode) == 0o600


def test_the_last_few_are_kept_and_other_files_left_alone(copies: FileCopies) -> None:
    copies.keep("import")
    note = copies.folder / "note.txt"
    note.write_text("mine")
    made = [copies.keep("import").name for _ in range(MOST + 2)]
    assert [one.name for one in copies.kept()] == made[: -MOST - 1 : -1]
    assert note.exists()


def test_a_clock_that_was_set_back_loses_no_new_copy(copies: FileCopies) -> None:
    copies.folder.mkdir()
    for second in range(MOST):
        backup(copies.url, copies.folder / f"2999-01-01-00000{second}-000000-before-import.db")
    made = copies.keep("restore")
    assert copies.kept()[0] == made
    assert len(copies.kept()) == MOST


def test_a_restore_keeps_what_was_there(
    copies: FileCopies, sqlite_store: SqlStore, sqlite_url: str, tmp_path: Path
) -> None:
    backup(sqlite_url, tmp_path / "b")
    add(sqlite_store, kept(1))
    put(sqlite_store, dinner(1))
    before = rows_of(sqlite_store), plan_of(sqlite_store)
    made = copies.restore(tmp_path / "b")
    assert len(rows_of(sqlite_store)) == 1
    assert made is not None
    copies.restore(copies.file(made.name))
    assert (rows_of(sqlite_store), plan_of(sqlite_store)) == before


def test_the_oldest_copy_can_be_put_back_though_its_place_is_taken(
    copies: FileCopies, sqlite_store: SqlStore
) -> None:
    oldest = copies.keep("import")
    for number in range(1, MOST):
        add(sqlite_store, kept(number))
        copies.keep("import")
    copies.restore(copies.file(oldest.name))
    assert len(rows_of(sqlite_store)) == 1
    with pytest.raises(Unknown, match="not kept any more"):
        copies.file(oldest.name)


def test_a_copy_is_looked_into_and_stays_as_it_is(copies: FileCopies, sqlite_store: SqlStore) -> None:
    file = copies.file(copies.keep("import").name)
    before = file.read_bytes()
    add(sqlite_store, kept(1))
    with copies.opened(file) as store, store.reading(HOME) as reading:
        assert len(reading.rows()) == 1
    assert file.read_bytes() == before
    assert len(rows_of(sqlite_store)) == 2


def test_nothing_is_replaced_if_what_is_there_cannot_be_kept(
    copies: FileCopies, sqlite_store: SqlStore, sqlite_url: str, tmp_path: Path
) -> None:
    backup(sqlite_url, tmp_path / "b")
    add(sqlite_store, kept(1))
    copies.folder.write_text("no folder")
    with pytest.raises(StoreError, match=r"home\.db\.copies"):
        copies.restore(tmp_path / "b")
    assert len(rows_of(sqlite_store)) == 2


def test_whoever_is_not_sure_any_more_replaces_nothing(
    copies: FileCopies, sqlite_store: SqlStore, sqlite_url: str, tmp_path: Path
) -> None:
    backup(sqlite_url, tmp_path / "b")
    add(sqlite_store, kept(1))

    def unsure() -> None:
        raise NotEditable("Something was marked.")

    with pytest.raises(NotEditable):
        copies.restore(tmp_path / "b", unsure)
    assert len(rows_of(sqlite_store)) == 2


def test_a_file_that_is_no_backup_makes_no_copy(copies: FileCopies, tmp_path: Path) -> None:
    (tmp_path / "letter").write_text("Dear neighbours")
    with pytest.raises(Malformed):
        copies.restore(tmp_path / "letter")
    assert copies.kept() == []


def test_a_damaged_database_is_replaced_and_stays_aside_as_ever(
    copies: FileCopies, sqlite_store: SqlStore, sqlite_url: str, tmp_path: Path
) -> None:
    backup(sqlite_url, tmp_path / "b")
    sqlite_store.close()
    (tmp_path / "home.db").write_bytes(b"not a database " * 1000)
    assert copies.restore(tmp_path / "b") is None
    assert (tmp_path / "home.db.before-restore").exists()
    with closing(sqlite3.connect(tmp_path / "home.db")) as connection:
        assert connection.execute("SELECT count(*) FROM household").fetchone() == (1,)


def test_all_of_them_can_be_let_go(copies: FileCopies) -> None:
    copies.forget()
    copies.keep("import")
    copies.forget()
    assert copies.kept() == []


def test_of_those_asked_for_the_last_few_stay_by_themselves(copies: FileCopies) -> None:
    before = copies.keep("import")
    made = [copies.dated(3) for _ in range(5)]
    for _ in range(MOST):
        copies.keep("restore")
    assert re.fullmatch(r"20\d\d-\d\d-\d\d-\d{6}-\d{6}\.db", made[0].name)
    assert [one for one in copies.kept() if not one.before] == made[:1:-1]
    assert before not in copies.kept()


def test_seven_stay_unless_another_number_is_named(copies: FileCopies) -> None:
    made = [copies.dated() for _ in range(DATED + 1)]
    assert copies.kept() == made[:0:-1]
    assert DATED == 7


def test_a_bad_copy_pushes_no_good_one_out(copies: FileCopies) -> None:
    good = copies.dated(2)
    for _ in range(3):
        bad = copies.file(copies.dated(9).name)
        bad.write_bytes(bad.read_bytes()[:5000])
    newest = copies.dated(2)
    names = [one.name for one in copies.kept()]
    assert names[0] == newest.name
    assert good.name in names
    # As soon as there are as many whole ones, what is older goes, good or bad.
    last = copies.dated(2)
    assert [one.name for one in copies.kept()] == [last.name, newest.name]


def test_no_copy_of_a_damaged_database_is_added_and_none_let_go(
    copies: FileCopies, sqlite_store: SqlStore, tmp_path: Path
) -> None:
    made = copies.dated(1)
    sqlite_store.close()
    garble(tmp_path / "home.db")
    with pytest.raises(StoreError, match="is damaged"):
        copies.dated(1)
    assert copies.kept() == [made]


def test_a_copy_says_its_size_and_what_came_of_its_check(copies: FileCopies) -> None:
    made = copies.dated()
    assert made.size == copies.file(made.name).stat().st_size
    assert made.check is not None
    assert made.check.fault == ""
    assert abs(made.check.at - datetime.now(UTC)) < timedelta(minutes=1)


def test_a_copy_is_checked_again_only_when_its_file_changes(
    copies: FileCopies, monkeypatch: pytest.MonkeyPatch
) -> None:
    checks: list[Path] = []
    check = results.check_file

    def counted(file: Path) -> results.Checked:
        checks.append(file)
        return check(file)

    monkeypatch.setattr(results, "check_file", counted)
    made = copies.dated()
    for _ in range(3):
        assert copies.kept() == [made]
    file = copies.file(made.name)
    assert checks == [file]
    garble(file)
    [changed] = copies.kept()
    assert len(checks) == 2
    assert changed.check is not None
    assert changed.check.fault.startswith("is damaged")
    assert copies.kept() == [changed]
    assert len(checks) == 2


@pytest.mark.parametrize("content", [b"", b"[]", b"{}", b'{"stamp": 1}', b"\xff"])
def test_a_result_that_cannot_be_read_is_found_again(copies: FileCopies, content: bytes) -> None:
    made = copies.dated()
    copies.file(made.name).with_name(f"{made.name}{results.ENDING}").write_bytes(content)
    [found] = copies.kept()
    assert found.check is not None
    assert found.check.fault == ""


def test_with_a_copy_goes_what_was_remembered_of_it(copies: FileCopies) -> None:
    for _ in range(3):
        copies.dated(1)
    assert len(list(copies.folder.iterdir())) == 2
    copies.forget()
    assert list(copies.folder.iterdir()) == []
