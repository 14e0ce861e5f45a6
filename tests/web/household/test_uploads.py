"""A restore that meets a full disk says so, changes nothing and leaves no file behind."""

from __future__ import annotations

import os
import sqlite3
import stat
import subprocess
import sys
import tempfile
from contextlib import closing, contextmanager
from http import HTTPStatus
from typing import TYPE_CHECKING

import pytest
from starlette.testclient import TestClient

from coach.store.backup import backup
from coach.web.callers import HOUSEHOLD
from store.small_disk import fill, small_disk
from web.house import ADDRESS, House

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

MEGABYTE = 1024 * 1024


@pytest.fixture
def disk(tmp_path: Path) -> Iterator[Path]:
    """A disk with room for a small household and not for two."""
    with small_disk(tmp_path, 4 * MEGABYTE) as mounted:
        yield mounted


def a_backup(folder: Path, size: int) -> bytes:
    """A backup of somebody's years, of about that size."""
    folder.mkdir()
    with closing(House(folder)) as other:
        other.start()
    with closing(sqlite3.connect(folder / "home.db")) as connection:
        values = ("home", "2026-01-01", "d", "x" * size)
        connection.execute("INSERT INTO standing VALUES (?, ?, ?, ?)", values)
        connection.commit()
    backup(f"sqlite:///{folder / 'home.db'}", folder / "backup.db")
    return (folder / "backup.db").read_bytes()


def restored(house: House, content: bytes) -> tuple[int, str]:
    """What a restore is answered with, at once or after the tap that does it."""
    http = TestClient(house.app, base_url=ADDRESS, follow_redirects=False, raise_server_exceptions=False)
    answer = http.post("/data/restore", files={"saved": ("backup.db", content)})
    if answer.status_code == HTTPStatus.SEE_OTHER:
        seen = house.app.state.context.store.version(HOUSEHOLD).version
        answer = http.post(answer.headers["location"], data={"seen": str(seen)})
    http.close()
    return answer.status_code, answer.text


@contextmanager
def temporary_files_on(folder: Path) -> Iterator[None]:
    """Temporary files go to this folder while the block runs."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(tempfile, "tempdir", str(folder))
        yield


@pytest.mark.parametrize("size", [MEGABYTE, int(2.5 * MEGABYTE), 5 * MEGABYTE])
def test_a_restore_that_the_databases_disk_has_no_room_for_changes_nothing(
    tmp_path: Path, disk: Path, size: int
) -> None:
    content = a_backup(tmp_path / "other", size)
    with closing(House(disk)) as house:
        house.start()
        before = house.mark("bed-made")
        (disk / "other-data").write_bytes(b"x" * int(0.8 * MEGABYTE))
        status, said = restored(house, content)
        assert (status, f"The disk that holds the database {disk}/home.db is full" in said) == (503, True)
        assert "nothing was written. Free some space" in said
        assert house.day() == before
        files = {"home.db", "home.db-wal", "home.db-shm", "home.db.copies", "other-data"}
        assert {path.name for path in disk.iterdir()} <= files
        (disk / "other-data").unlink()
        assert house.mark("bed-made", "missed")["checklist"][0]["mark"] == "missed"


@pytest.mark.parametrize("size", [MEGABYTE // 2, 3 * MEGABYTE])
def test_a_restore_that_the_disk_of_temporary_files_has_no_room_for_changes_nothing(
    tmp_path: Path, disk: Path, size: int
) -> None:
    # The large one does not even come in; the small one waits in memory until it is put aside.
    content = a_backup(tmp_path / "other", size)
    fill(disk)
    with closing(House(tmp_path)) as house:
        house.start()
        before = house.mark("bed-made")
        with temporary_files_on(disk):
            status, said = restored(house, content)
        assert (status, "temporary files is full, so nothing was changed" in said) == (503, True)
        assert house.day() == before
        assert [path.name for path in disk.rglob("*") if path.is_file()] == ["filling"]


def test_a_backup_that_finds_no_place_for_temporary_files_says_so(tmp_path: Path) -> None:
    with closing(House(tmp_path)) as house, temporary_files_on(tmp_path / "nowhere"):
        house.start()
        with TestClient(house.app, base_url=ADDRESS, raise_server_exceptions=False) as http:
            answer = http.get("/data/backup")
    assert answer.status_code == 503
    assert "temporary files cannot be written, so nothing was changed: No such file" in answer.text


def test_a_backup_that_the_disk_of_temporary_files_has_no_room_for_says_so(
    tmp_path: Path, disk: Path
) -> None:
    fill(disk)
    with closing(House(tmp_path)) as house:
        house.start()
        before = house.mark("bed-made")
        with (
            temporary_files_on(disk),
            TestClient(house.app, base_url=ADDRESS, raise_server_exceptions=False) as http,
        ):
            answer = http.get("/data/backup")
            assert house.day() == before
        assert answer.status_code == 503
        assert "among this machine&#39;s temporary files is full" in answer.text
        assert str(disk) not in answer.text
        assert [path.name for path in disk.rglob("*")] == ["filling"]


def test_a_disk_of_temporary_files_that_is_full_hinders_no_mark_no_page_and_no_import(
    tmp_path: Path, disk: Path
) -> None:
    fill(disk)
    with closing(House(tmp_path)) as house, temporary_files_on(disk):
        house.start()
        house.live(2)
        log = house.http.get("/api/log.csv").content
        assert house.http.post("/api/log.csv", content=log).status_code == 200
        for address in ("/today", "/path", "/data", "/settings"):
            assert house.http.get(address).status_code == 200
        assert house.http.get("/api/log.csv").content == log


@pytest.mark.parametrize("named", ["full", "nowhere"])
def test_temporary_files_go_where_they_are_told_to_or_nowhere(
    tmp_path: Path, disk: Path, monkeypatch: pytest.MonkeyPatch, named: str
) -> None:
    fill(disk)
    monkeypatch.setenv("TMPDIR", str(disk if named == "full" else tmp_path / "nowhere"))
    monkeypatch.setattr(tempfile, "tempdir", None)
    with closing(House(tmp_path)) as house:
        house.start()
        log = house.http.get("/api/log.csv").content
        http = TestClient(house.app, base_url=ADDRESS, raise_server_exceptions=False)
        answer = http.post("/data/import", files={"log": ("log.csv", log)}, follow_redirects=False)
        http.close()
    assert answer.status_code == 503
    assert "name another folder with TMPDIR" in answer.text


def test_uploads_of_a_killed_service_are_gone_at_the_next_start(tmp_path: Path) -> None:
    with subprocess.Popen([sys.executable, "-c", ""]) as ended:
        ended.wait()
    left = [tmp_path / f"steading-{ended.pid}-abcd_123", tmp_path / f"steading-{os.getppid()}-abcd_123"]
    for folder in (*left, tmp_path / "steading-letters"):
        folder.mkdir()
        (folder / "upload").write_text("somebody's log")
    (tmp_path / "home").mkdir()
    with temporary_files_on(tmp_path), closing(House(tmp_path / "home")):
        assert [folder.exists() for folder in left] == [False, True]
        assert (tmp_path / "steading-letters" / "upload").exists()


def test_an_upload_that_waits_is_for_its_owner_alone(tmp_path: Path) -> None:
    (tmp_path / "home").mkdir()
    (tmp_path / "temporary").mkdir()
    with temporary_files_on(tmp_path / "temporary"), closing(House(tmp_path / "home")) as house:
        house.start()
        log = house.http.get("/api/log.csv").content
        waits = house.http.post("/data/import", files={"log": ("log.csv", log)}).headers["location"]
        [folder] = (tmp_path / "temporary").iterdir()
        [file] = folder.iterdir()
        assert [stat.S_IMODE(path.stat().st_mode) for path in (folder, file)] == [0o700, 0o600]
        # Whoever clears a machine's temporary files may come by.
        file.unlink()
        assert house.http.get(waits).status_code == 404
