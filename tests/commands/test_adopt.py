"""A household leaves one database by a file and is at home in another, with the real command."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from commands.running import coach

if TYPE_CHECKING:
    from pathlib import Path

LOG = "date,what,step,value\n2027-01-04,start,bed-made,standard\n2027-01-04,kept,bed-made,\n"
TODAY = ("--today", "2027-01-10")


def home(folder: Path, name: str = "home") -> tuple[str, str]:
    return "--database", f"sqlite:///{folder / name}.db"


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """A household's file."""
    assert coach("import", "-", *home(tmp_path, "first"), *TODAY, text=LOG).returncode == 0
    file = tmp_path / "home.zip"
    said = coach("export", "--whole", file, *home(tmp_path, "first"), *TODAY)
    assert (said.returncode, said.stderr) == (0, "")
    return file


def test_what_left_is_at_home_elsewhere(file: Path, tmp_path: Path) -> None:
    said = coach("adopt", file, *home(tmp_path), *TODAY)
    assert (said.returncode, said.stderr) == (0, "")
    assert "2 rows of the log since 2027-01-04" in said.stdout
    assert coach("export", *home(tmp_path)).stdout == LOG
    again = tmp_path / "again.zip"
    assert coach("export", "--whole", again, *home(tmp_path), *TODAY).returncode == 0
    assert again.read_bytes() == file.read_bytes()


def test_a_household_that_is_there_is_replaced_only_when_asked_for(file: Path, tmp_path: Path) -> None:
    other = LOG.replace("2027-01-04", "2027-01-06")
    assert coach("import", "-", *home(tmp_path), *TODAY, text=other).returncode == 0
    refused = coach("adopt", file, *home(tmp_path), *TODAY)
    assert refused.returncode == 2
    assert "--replace" in refused.stderr
    assert coach("export", *home(tmp_path)).stdout == other
    said = coach("adopt", file, "--replace", *home(tmp_path), *TODAY)
    assert "What was there before is kept in" in said.stdout
    assert coach("export", *home(tmp_path)).stdout == LOG


def test_what_is_no_home_is_refused_and_no_household_is_made(tmp_path: Path) -> None:
    (tmp_path / "letter.txt").write_text("Dear neighbours")
    assert coach("adopt", tmp_path / "letter.txt", *home(tmp_path)).returncode == 2
    assert coach("adopt", tmp_path / "nothing.zip", *home(tmp_path)).returncode == 2
    assert coach("export", *home(tmp_path)).returncode == 2


def test_a_file_that_is_refused_leaves_nothing_behind(file: Path, tmp_path: Path) -> None:
    content = file.read_bytes()
    for name, bad in (("letter.txt", b"Dear neighbours"), ("half.zip", content[: len(content) // 2])):
        (tmp_path / name).write_bytes(bad)
        place = tmp_path / f"new of {name}"
        said = coach("adopt", tmp_path / name, *home(place))
        assert (said.returncode, said.stderr != "") == (2, True)
        assert not place.exists()
