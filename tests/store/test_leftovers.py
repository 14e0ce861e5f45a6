"""Files for their owner alone, and what a killed process left of temporary ones is gone at the next start."""

from __future__ import annotations

import os
import stat
import subprocess
import sys
import time
from contextlib import closing
from typing import TYPE_CHECKING

import pytest

from coach.ground.leftovers import SECONDS
from coach.store.backup import backup
from coach.store.copies import FileCopies
from coach.store.files import narrow, temporary
from coach.store.opening import open_store
from store.tern_street import add, begin, kept

if TYPE_CHECKING:
    from pathlib import Path

    from coach.store.households import SqlStore


def mode(path: Path) -> int:
    return stat.S_IMODE(path.stat().st_mode)


def a_process_that_ended() -> int:
    with subprocess.Popen([sys.executable, "-c", ""]) as process:
        process.wait()
        return process.pid


def left(folder: Path, process: int | None = None, of: str = "home.db") -> Path:
    """What a process leaves that is killed while it writes beside a file."""
    owner = "" if process is None else f"{process}-"
    part = folder / f".{of}.{owner}abcd_123.part"
    part.write_text("half of it")
    part.with_name(f"{part.name}-wal").touch()
    return part


def test_everything_is_for_its_owner_alone(sqlite_url: str, tmp_path: Path) -> None:
    before = os.umask(0o022)
    try:
        with closing(open_store(sqlite_url)) as store:
            begin(store)
            add(store, kept(1))
            copies = FileCopies(sqlite_url)
            copies.keep("import")
            copies.dated()
            backup(sqlite_url, tmp_path / "b")
            files = [path for path in tmp_path.rglob("*") if path.is_file()]
            assert {"home.db", "home.db-wal", "home.db-shm", "b"} <= {file.name for file in files}
            assert {file.name: mode(file) for file in files} == {file.name: 0o600 for file in files}
            assert mode(copies.folder) == 0o700
    finally:
        os.umask(before)


def test_a_database_and_copies_that_others_could_read_are_narrowed(sqlite_url: str, tmp_path: Path) -> None:
    open_store(sqlite_url).close()
    copies = FileCopies(sqlite_url)
    (tmp_path / "home.db").chmod(0o644)
    copies.folder.mkdir(mode=0o755)
    with closing(open_store(sqlite_url)) as store:
        begin(store)
        copies.keep("import")
        assert mode(tmp_path / "home.db") == mode(tmp_path / "home.db-wal") == 0o600
    assert mode(copies.folder) == 0o700


def test_what_is_not_there_or_not_ours_is_not_narrowed(tmp_path: Path) -> None:
    narrow(tmp_path / "nothing")
    file = tmp_path / "theirs"
    file.touch(mode=0o644)
    if os.geteuid() == 0:
        os.chown(file, 12345, 12345)
        narrow(file)
        assert mode(file) == 0o644


def test_what_a_killed_process_left_is_gone_at_the_next_start(sqlite_url: str, tmp_path: Path) -> None:
    part = left(tmp_path, a_process_that_ended())
    other = left(tmp_path, a_process_that_ended(), "another.db")
    open_store(sqlite_url).close()
    assert not part.exists()
    assert not part.with_name(f"{part.name}-wal").exists()
    assert other.exists()


def test_what_a_running_process_makes_stays(sqlite_url: str, tmp_path: Path) -> None:
    part = left(tmp_path, os.getppid())
    with temporary(tmp_path / "home.db") as mine:
        open_store(sqlite_url).close()
        assert mine.exists()
    assert part.exists()


def test_what_a_process_of_the_same_number_left_is_gone(sqlite_url: str, tmp_path: Path) -> None:
    part = left(tmp_path, os.getpid())
    long_ago = time.time() - 60 * 60 * 24
    os.utime(part, (long_ago, long_ago))
    open_store(sqlite_url).close()
    assert not part.exists()


@pytest.mark.parametrize(("more", "stay"), [(60, 0), (-60, 1)])
def test_what_names_no_process_is_gone_once_it_is_old(
    sqlite_url: str, tmp_path: Path, more: int, stay: int
) -> None:
    part = left(tmp_path)
    then = time.time() - SECONDS - more
    os.utime(part, (then, then))
    open_store(sqlite_url).close()
    assert [path.name for path in tmp_path.glob("*.part")] == [part.name] * stay


def test_what_was_left_among_the_copies_is_gone_with_the_next_copy(
    sqlite_store: SqlStore, sqlite_url: str
) -> None:
    begin(sqlite_store)
    copies = FileCopies(sqlite_url)
    copies.folder.mkdir()
    part = left(copies.folder, a_process_that_ended(), "2027-01-08-141205-000000-before-import.db")
    copies.keep("import")
    assert not part.exists()
