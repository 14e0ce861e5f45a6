from __future__ import annotations

import re
import sqlite3
from contextlib import closing
from typing import TYPE_CHECKING

import pytest

from coach.ground.wording import size_words
from commands.running import coach
from store.broken import garble

if TYPE_CHECKING:
    from pathlib import Path

LOG = "date,what,step,value\n2027-01-04,start,bed-made,standard\n2027-01-04,kept,bed-made,\n"


def home(folder: Path) -> tuple[str, str]:
    return "--database", f"sqlite:///{folder / 'home.db'}"


def imported(folder: Path, text: str = LOG) -> int:
    return coach("import", "-", *home(folder), "--today", "2027-01-10", text=text).returncode


def test_what_is_imported_is_exported(tmp_path: Path) -> None:
    assert imported(tmp_path) == 0
    assert coach("export", *home(tmp_path)).stdout == LOG


def test_one_bad_row_leaves_everything_as_it_was(tmp_path: Path) -> None:
    assert imported(tmp_path) == 0
    assert imported(tmp_path, LOG + "2027-01-05,kept,no-such-step,\n") == 2
    assert coach("export", *home(tmp_path)).stdout == LOG


def test_a_backup_brings_back_what_was_there(tmp_path: Path) -> None:
    assert imported(tmp_path) == 0
    copy = tmp_path / "copy.db"
    assert coach("backup", copy, *home(tmp_path)).returncode == 0
    assert imported(tmp_path, LOG + "2027-01-05,kept,bed-made,\n") == 0
    assert coach("restore", copy, *home(tmp_path)).returncode == 0
    assert coach("export", *home(tmp_path)).stdout == LOG


def test_a_file_that_is_no_backup_is_refused_and_nothing_is_lost(tmp_path: Path) -> None:
    assert imported(tmp_path) == 0
    (tmp_path / "letter.txt").write_text("Dear neighbours")
    assert coach("restore", tmp_path / "letter.txt", *home(tmp_path)).returncode == 2
    assert coach("export", *home(tmp_path)).stdout == LOG


def kept_by(said: str) -> str:
    """Where a command says that the copy is."""
    found = re.search(r"What was there before is kept in (.+\.db); `coach restore (.+)` puts it back\.", said)
    assert found is not None, said
    assert found[1] == found[2]
    return found[1]


def test_an_import_says_where_what_was_there_is_and_that_puts_it_back(tmp_path: Path) -> None:
    again = ("import", "-", *home(tmp_path), "--today", "2027-01-10")
    assert "is kept" not in coach(*again, text=LOG).stdout
    place = kept_by(coach(*again, text=LOG + "2027-01-05,kept,bed-made,\n").stdout)
    assert coach("restore", place, *home(tmp_path)).returncode == 0
    assert coach("export", *home(tmp_path)).stdout == LOG


def test_a_restore_says_where_what_was_there_is_and_that_puts_it_back(tmp_path: Path) -> None:
    longer = LOG + "2027-01-05,kept,bed-made,\n"
    assert imported(tmp_path) == 0
    copy = tmp_path / "copy.db"
    assert coach("backup", copy, *home(tmp_path)).returncode == 0
    assert imported(tmp_path, longer) == 0
    place = kept_by(coach("restore", copy, *home(tmp_path)).stdout)
    assert coach("restore", place, *home(tmp_path)).returncode == 0
    assert coach("export", *home(tmp_path)).stdout == longer


def test_a_server_that_keeps_the_database_is_left_to_its_tools(tmp_path: Path) -> None:
    ended = coach("restore", tmp_path / "b.db", "--database", "postgresql://steading@localhost/steading")
    assert (ended.returncode, "pg_restore" in ended.stderr) == (2, True)


def test_nothing_to_export_before_the_start_is_said_in_one_line(tmp_path: Path) -> None:
    assert imported(tmp_path) == 0
    with closing(sqlite3.connect(tmp_path / "home.db")) as connection:
        connection.executescript(
            "DELETE FROM log; DELETE FROM standing; DELETE FROM course_version; DELETE FROM household"
        )
    ended = coach("export", *home(tmp_path))
    assert (ended.returncode, ended.stderr.count("\n")) == (2, 1)
    assert "has not started" in ended.stderr


@pytest.mark.parametrize("command", ["export", "backup"])
def test_a_file_that_is_there_is_replaced_only_on_purpose(tmp_path: Path, command: str) -> None:
    assert imported(tmp_path) == 0
    target = tmp_path / "kept"
    target.write_text("Dear neighbours")
    ended = coach(command, target, *home(tmp_path))
    assert (ended.returncode, ended.stdout) == (2, "")
    assert ended.stderr == (
        f"coach: {target} is there already and was left as it is. "
        "Name another file, or replace it with --force.\n"
    )
    assert target.read_text() == "Dear neighbours"
    assert coach(command, target, "--force", *home(tmp_path)).returncode == 0
    assert b"bed-made" in target.read_bytes()


@pytest.mark.parametrize("command", ["export", "backup"])
def test_a_database_that_is_not_there_is_named_and_not_made(tmp_path: Path, command: str) -> None:
    target = tmp_path / "kept"
    ended = coach(command, target, "--database", f"sqlite:///{tmp_path / 'folder' / 'home.db'}")
    assert (ended.returncode, ended.stderr.count("\n")) == (2, 1)
    assert f"There is no database {tmp_path / 'folder' / 'home.db'} yet" in ended.stderr
    assert list(tmp_path.iterdir()) == []


def test_an_empty_file_is_no_database_to_export_and_stays_empty(tmp_path: Path) -> None:
    (tmp_path / "home.db").touch()
    ended = coach("export", *home(tmp_path))
    assert (ended.returncode, "There is no database" in ended.stderr) == (2, True)
    assert [(path.name, path.stat().st_size) for path in tmp_path.iterdir()] == [("home.db", 0)]


def test_an_export_to_a_folder_or_a_place_that_is_not_there_is_refused(tmp_path: Path) -> None:
    assert imported(tmp_path) == 0
    (tmp_path / "folder").mkdir()
    for target in (tmp_path / "folder", tmp_path / "nowhere" / "log.csv"):
        ended = coach("export", target, *home(tmp_path))
        assert (ended.returncode, ended.stderr.count("\n")) == (2, 1)
    assert not list((tmp_path / "folder").iterdir())


def test_an_export_can_go_to_a_device(tmp_path: Path) -> None:
    assert imported(tmp_path) == 0
    assert coach("export", "/dev/null", *home(tmp_path)).returncode == 0
    ended = coach("export", "/dev/full", *home(tmp_path))
    assert ended.returncode == 2
    assert "/dev/full cannot be written: No space left on device" in ended.stderr


@pytest.mark.parametrize("name", ["home.db", "home.db-wal"])
def test_a_log_is_never_written_over_the_database(tmp_path: Path, name: str) -> None:
    assert imported(tmp_path) == 0
    ended = coach("export", tmp_path / name, "--force", *home(tmp_path))
    assert (ended.returncode, "is the database itself" in ended.stderr) == (2, True)
    assert coach("export", *home(tmp_path)).stdout == LOG


def copies_in(folder: Path) -> list[Path]:
    return sorted((folder / "home.db.copies").glob("*.db"))


def test_a_backup_without_a_name_is_dated_and_the_last_ones_stay(tmp_path: Path) -> None:
    assert imported(tmp_path) == 0
    first = coach("backup", *home(tmp_path))
    [copy] = copies_in(tmp_path)
    assert first.returncode == 0
    assert f"The database is copied to {copy} and checked. Of such copies the last 7 stay." in first.stdout
    for _ in range(3):
        assert coach("backup", "--keep", "2", *home(tmp_path)).returncode == 0
    assert len(copies_in(tmp_path)) == 2
    assert copy not in copies_in(tmp_path)
    assert coach("restore", copies_in(tmp_path)[0], *home(tmp_path)).returncode == 0


def test_a_damaged_database_is_not_backed_up_even_by_force(tmp_path: Path) -> None:
    assert imported(tmp_path) == 0
    target = tmp_path / "copy.db"
    assert coach("backup", target, *home(tmp_path)).returncode == 0
    before = target.read_bytes()
    garble(tmp_path / "home.db")
    for given in (("backup", target, "--force"), ("backup", tmp_path / "other.db"), ("backup",)):
        ended = coach(*given, *home(tmp_path))
        assert (ended.returncode, ended.stdout, ended.stderr.count("\n")) == (2, "", 1)
        assert "home.db is damaged" in ended.stderr
        assert "/rescue" in ended.stderr
    assert target.read_bytes() == before
    assert not (tmp_path / "other.db").exists()
    assert copies_in(tmp_path) == []


def test_a_copy_is_checked_without_any_database(tmp_path: Path) -> None:
    assert imported(tmp_path) == 0
    copy = tmp_path / "copy.db"
    assert coach("backup", copy, *home(tmp_path)).returncode == 0
    (tmp_path / "home.db").unlink()
    ended = coach("backup", "--check", copy)
    assert ended.returncode == 0
    said = dict(line.split(":", 1) for line in ended.stdout.splitlines())
    assert list(said) == ["written", "size", "version", "rows", "result"]
    assert said["size"].strip() == size_words(copy.stat().st_size)
    assert "(the present one)" in said["version"]
    assert "2 of the log" in said["rows"]
    assert said["result"].strip() == "whole, and can be brought back"
    assert not (tmp_path / "home.db").exists()


def test_a_copy_that_could_not_be_brought_back_is_said(tmp_path: Path) -> None:
    assert imported(tmp_path) == 0
    copy = tmp_path / "copy.db"
    assert coach("backup", copy, *home(tmp_path)).returncode == 0
    garble(copy)
    for file, said in ((copy, "is damaged"), (tmp_path / "no.db", "There is no file")):
        ended = coach("backup", "--check", file)
        assert (ended.returncode, ended.stderr.count("\n"), said in ended.stderr) == (2, 1, True)
        assert "result" not in ended.stdout


@pytest.mark.parametrize(
    ("given", "said"),
    [
        (("copy.db", "--keep", "3"), "--keep stands without FILE"),
        (("--force",), "--force stands with FILE"),
        (("--check", "copy.db", "--force"), "--check stands alone"),
        (("other.db", "--check", "copy.db"), "--check stands alone"),
        (("--keep", "0"), "a whole number from 1 to"),
    ],
)
def test_options_that_do_not_go_together_are_refused(
    tmp_path: Path, given: tuple[str, ...], said: str
) -> None:
    assert imported(tmp_path) == 0
    ended = coach("backup", *given, *home(tmp_path))
    assert (ended.returncode, said in ended.stderr) == (2, True), ended.stderr
    assert copies_in(tmp_path) == []


def test_a_server_makes_no_dated_copies(tmp_path: Path) -> None:
    ended = coach("backup", "--database", "postgresql://steading@localhost/steading")
    assert (ended.returncode, "pg_dump" in ended.stderr) == (2, True)
    assert list(tmp_path.iterdir()) == []
