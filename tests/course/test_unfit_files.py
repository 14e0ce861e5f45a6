"""Files that are no ordinary text: named with the reason, and never waited for."""

from __future__ import annotations

import os
import socket
from pathlib import Path

import pytest

from coach.course.reader import MOST_BYTES, read_course, read_rooms
from coach.errors import FaultyFile
from course.course_folders import course_folder, step_text


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return course_folder(tmp_path / "course", first=step_text())


def faults(folder: Path) -> list[str]:
    return [str(fault) for fault in read_course(folder).faults]


def test_a_named_pipe_is_a_fault_and_not_waited_for(folder: Path) -> None:
    os.mkfifo(folder / "02-pipe.md")
    assert faults(folder) == [
        "02-pipe.md: this is a named pipe, and only ordinary files are read; take it out of the folder"
    ]


def test_a_link_to_a_device_is_a_fault_and_not_read_without_end(folder: Path) -> None:
    (folder / "02-zero.md").symlink_to("/dev/zero")
    assert faults(folder) == [
        "02-zero.md: this is a device, and only ordinary files are read; take it out of the folder"
    ]


def test_a_pipe_in_the_place_of_the_course_file_is_named(folder: Path) -> None:
    (folder / "course.toml").unlink()
    os.mkfifo(folder / "course.toml")
    assert [fault.split(",")[0] for fault in faults(folder)] == ["course.toml: this is a named pipe"]


def test_a_socket_is_a_fault(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(folder)  # the name of a socket may not be long
    with socket.socket(socket.AF_UNIX) as listening:
        listening.bind("02-socket.md")
        assert [fault.split(",")[0] for fault in faults(folder)] == ["02-socket.md: this is a socket"]


def test_a_link_to_an_ordinary_file_is_read(folder: Path, tmp_path: Path) -> None:
    (tmp_path / "elsewhere").write_text(step_text(), encoding="utf-8")
    (folder / "02-linked.md").symlink_to(tmp_path / "elsewhere")
    course = read_course(folder).course
    assert course is not None
    assert [step.id for step in course.steps] == ["first", "linked"]


def test_a_file_that_is_too_large_is_refused_with_its_size(folder: Path) -> None:
    with (folder / "02-large.md").open("wb") as file:
        file.truncate(30_000_000)
    assert [fault.split(";")[0] for fault in faults(folder)] == [
        "02-large.md: this file has 30.00 MB, and 0.25 MB is the most that is read"
    ]


def test_a_file_of_the_most_bytes_is_read(folder: Path) -> None:
    text = step_text()
    (folder / "01-first.md").write_text(text + " " * (MOST_BYTES - len(text)), encoding="utf-8")
    assert faults(folder) == []


def test_a_nul_character_is_named_with_its_line(folder: Path) -> None:
    (folder / "01-first.md").write_text(
        step_text(lessons="# A\r\n\r\nWords.\0\r\n"), encoding="utf-8", newline=""
    )
    assert [fault.split(",")[0] for fault in faults(folder)] == [
        "01-first.md:6: a NUL character stands on this line"
    ]


def test_starter_lists_are_ordinary_files_too(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "01-kitchen.toml")
    with pytest.raises(FaultyFile, match=r"01-kitchen\.toml: this is a named pipe"):
        read_rooms(tmp_path)


def test_a_folder_with_the_name_of_a_step_is_a_fault(folder: Path) -> None:
    (folder / "02-folder.md").mkdir()
    (folder / "drafts").mkdir()
    assert faults(folder) == [
        "02-folder.md: this is a folder, and only ordinary files are read; take it out of the folder"
    ]


@pytest.mark.parametrize(
    ("target", "reason"), [("nowhere", "No such file"), ("02-link.md", "Too many levels")]
)
def test_a_link_that_leads_nowhere_or_in_a_circle_is_a_fault(folder: Path, target: str, reason: str) -> None:
    (folder / "02-link.md").symlink_to(target)
    assert [
        fault.startswith(f"02-link.md: this file cannot be read: {reason}") for fault in faults(folder)
    ] == [True]


def test_a_file_that_vanishes_after_it_was_listed_is_a_fault(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    listed = Path.iterdir
    monkeypatch.setattr(Path, "iterdir", lambda path: [*listed(path), path / "02-gone.md"])
    assert faults(folder) == ["02-gone.md: this file cannot be read: No such file or directory"]


def test_a_file_that_becomes_a_pipe_before_it_is_opened_is_not_waited_for(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    was = (folder / "01-first.md").stat()
    (folder / "01-first.md").unlink()
    os.mkfifo(folder / "01-first.md")
    looked = Path.stat
    monkeypatch.setattr(Path, "stat", lambda path: was if path.name == "01-first.md" else looked(path))
    assert [fault.split(",")[0] for fault in faults(folder)] == ["01-first.md: this is a named pipe"]


def test_a_file_of_a_hundred_megabytes_is_refused_unread(folder: Path) -> None:
    with (folder / "02-huge.md").open("wb") as file:
        file.truncate(100_000_000)
    assert [fault.split(";")[0] for fault in faults(folder)] == [
        "02-huge.md: this file has 100.00 MB, and 0.25 MB is the most that is read"
    ]
