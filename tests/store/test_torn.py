"""Backups and restores that are stopped half-way: the old one stays, whole."""

from __future__ import annotations

import os
import shutil
import signal
import sqlite3
import subprocess
import sys
import time
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from coach.errors import StoreError
from coach.store import backup as backups
from coach.store.backup import backup, restore
from coach.store.opening import open_store
from store.laid_out import lay_out
from store.tern_street import HOME, HOUSEHOLD, NOW, add, begin, kept, rows_of, saved

if TYPE_CHECKING:
    from coach.store.households import SqlStore

TESTS = Path(__file__).parent.parent
ROWS = 5000
DELAYS = [0.0, 0.03, 0.07, 0.12]
"""Seconds until a restoring program is killed; a restore takes a little less than the longest."""


LIMITED = """
import resource, sys
from pathlib import Path
from coach.errors import StoreError
from coach.store.backup import backup, restore
resource.setrlimit(resource.RLIMIT_FSIZE, (int(sys.argv[4]), int(sys.argv[4])))
try:
    {"backup": backup, "restore": restore}[sys.argv[1]](sys.argv[2], Path(sys.argv[3]))
except StoreError as error:
    print(error)
"""


KILLED = """
import resource, signal, sys
from pathlib import Path
from coach.store import backup
replace = backup._replace_content

def replace_until_killed(*arguments):
    signal.signal(signal.SIGXFSZ, signal.SIG_DFL)
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    resource.setrlimit(resource.RLIMIT_FSIZE, (int(sys.argv[3]), int(sys.argv[3])))
    replace(*arguments)

backup._replace_content = replace_until_killed
backup.restore(sys.argv[1], Path(sys.argv[2]))
"""


def fail_half_way(act: str, url: str, file: Path, limit: int) -> str:
    """What is said when no file may grow beyond so many bytes, as on a disk that fails."""
    command = [sys.executable, "-c", LIMITED, act, url, str(file), str(limit)]
    return subprocess.run(command, check=True, capture_output=True, text=True).stdout


def test_a_backup_that_fails_half_way_leaves_the_one_before(
    sqlite_store: SqlStore, sqlite_url: str, tmp_path: Path
) -> None:
    target = tmp_path / "steading.backup"
    begin(sqlite_store)
    backup(sqlite_url, target)
    older = target.read_bytes()
    add(sqlite_store, *[kept(number) for number in range(1, ROWS)])
    said = fail_half_way("backup", sqlite_url, target, len(older))
    assert said.startswith("The disk that holds the backup")
    assert target.read_bytes() == older
    assert not list(tmp_path.glob(".*"))


def test_a_restore_that_fails_half_way_leaves_the_database(
    sqlite_store: SqlStore, sqlite_url: str, tmp_path: Path
) -> None:
    target = tmp_path / "steading.backup"
    begin(sqlite_store)
    small = (tmp_path / "home.db").stat().st_size
    add(sqlite_store, *[kept(number) for number in range(1, ROWS)])
    backup(sqlite_url, target)
    add(sqlite_store, kept(ROWS))
    said = fail_half_way("restore", sqlite_url, target, small)
    assert said.startswith("The disk that holds the database")
    assert len(rows_of(sqlite_store)) == ROWS + 1
    assert not list(tmp_path.glob(".*"))


def test_a_restore_that_another_program_keeps_waiting_ends_and_changes_nothing(
    sqlite_store: SqlStore, sqlite_url: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    target = tmp_path / "steading.backup"
    begin(sqlite_store)
    backup(sqlite_url, target)
    monkeypatch.setattr(backups, "BUSY_SECONDS", 0.1)
    with sqlite_store.writing(HOME) as writing:
        writing.append([kept(1)], NOW)
        with pytest.raises(StoreError, match="busy for too long"):
            restore(sqlite_url, target)
    assert len(rows_of(sqlite_store)) == 2


@pytest.fixture(scope="module")
def made_backups(tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    """Two backups of the same size with different rows."""
    made, folder = [], tmp_path_factory.mktemp("backups")
    for name in ("first", "second"):
        url = f"sqlite:///{folder / name}.db"
        lay_out(url)
        with closing(open_store(url)) as store:
            begin(store)
            add(store, *[kept(number, name) for number in range(1, ROWS)])
            with store.writing(HOME) as writing:
                writing.save_standings([saved(1, state=name * 100_000)])
        made.append(folder / f"{name}.backup")
        backup(url, made[-1])
    return made


@pytest.fixture
def two_backups(made_backups: list[Path], tmp_path: Path) -> list[Path]:
    """The same two as files of the test's own."""
    return [Path(shutil.copy(made, tmp_path)) for made in made_backups]


@pytest.mark.parametrize("written", [70_000, 500_000, 900_000])
def test_a_restore_that_is_killed_as_it_replaces_the_database_leaves_the_old_content(
    sqlite_store: SqlStore, sqlite_url: str, two_backups: list[Path], written: int
) -> None:
    begin(sqlite_store)
    sqlite_store.close()
    assert two_backups[0].stat().st_size > written
    command = [sys.executable, "-c", KILLED, sqlite_url, str(two_backups[0]), str(written)]
    killed = subprocess.run(command, check=False, capture_output=True, text=True)
    assert (killed.returncode, killed.stderr) == (-signal.SIGXFSZ, "")
    assert len(rows_of(sqlite_store)) == 1
    restore(sqlite_url, two_backups[0])
    assert len(rows_of(sqlite_store)) == ROWS


def test_a_restore_that_is_killed_leaves_the_old_content_or_the_new(
    sqlite_url: str, two_backups: list[Path], tmp_path: Path
) -> None:
    restore(sqlite_url, two_backups[0])
    for delay in DELAYS:
        kill_while_restoring(sqlite_url, two_backups, delay)
        with closing(sqlite3.connect(tmp_path / "home.db")) as connection:
            assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        with closing(open_store(sqlite_url)) as store:
            rows = rows_of(store)
            with store.reading(HOME) as reading:
                state = reading.standing(rows[-1].date, ["d1"])
        assert state is not None
        assert state.state == rows[-1].step * 100_000
        assert rows[1:] == [kept(number, rows[-1].step) for number in range(1, ROWS)]


def kill_while_restoring(url: str, sources: list[Path], delay: float) -> None:
    """Restore over and over, and kill the program in the middle of one."""
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join([str(TESTS), str(TESTS.parent)])}
    command = [sys.executable, str(TESTS / "store" / "restore_forever.py"), url, *map(str, sources)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env=environment) as program:
        assert program.stdout is not None
        program.stdout.readline()
        time.sleep(delay)
        program.kill()


def test_a_service_goes_on_over_a_restore(sqlite_store: SqlStore, sqlite_url: str, tmp_path: Path) -> None:
    target = tmp_path / "steading.backup"
    begin(sqlite_store)
    backup(sqlite_url, target)
    with sqlite_store.reading(HOME) as reading:
        restore(sqlite_url, target)
        assert reading.household() is not None
    with sqlite_store.writing(HOME) as writing:
        writing.clear()
        writing.create(HOUSEHOLD)
    restore(sqlite_url, target)
    assert len(rows_of(sqlite_store)) == 1


def test_a_restore_that_fails_half_way_leaves_no_copy_that_fills_the_disk(
    sqlite_store: SqlStore, sqlite_url: str, two_backups: list[Path], tmp_path: Path
) -> None:
    begin(sqlite_store)
    sqlite_store.close()
    before = {path.name for path in tmp_path.iterdir()}
    said = fail_half_way("restore", sqlite_url, two_backups[0], two_backups[0].stat().st_size)
    assert said.startswith("The disk that holds the database")
    assert {path.name for path in tmp_path.iterdir()} - before <= {"home.db-wal", "home.db-shm"}
    assert len(rows_of(sqlite_store)) == 1
