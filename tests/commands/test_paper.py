"""`coach sheet`: a week as PDF, for whom it is too long, and what stands there already."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from coach.press import sheet as press
from coach.press.printed import TooLong
from commands.running import coach
from press.reading import pages, size_of_first_page

if TYPE_CHECKING:
    from pathlib import Path

LOG = "date,what,step,value\n2027-01-04,start,bed-made,standard\n2027-01-04,kept,bed-made,\n"


@pytest.fixture
def home(tmp_path: Path) -> tuple[object, ...]:
    """A household that has begun, as arguments."""
    given = ("--database", f"sqlite:///{tmp_path / 'home.db'}", "--today", "2027-01-06")
    assert coach("import", "-", *given, text=LOG).returncode == 0
    return given


def test_a_week_is_written_on_the_paper_that_is_named(home: tuple[object, ...], tmp_path: Path) -> None:
    file = tmp_path / "week.pdf"
    made = coach("sheet", "--paper", "letter", "--across", "--out", file, *home)
    assert (made.returncode, made.stderr) == (0, "")
    assert "in type of 11 points" in made.stdout
    assert pages(file.read_bytes()) == 1
    assert size_of_first_page(file.read_bytes()) == (279.4, 215.9)


def test_a_file_that_is_there_stays_unless_it_may_go(home: tuple[object, ...], tmp_path: Path) -> None:
    file = tmp_path / "week.pdf"
    file.write_bytes(b"mine")
    assert coach("sheet", "--out", file, *home).returncode == 2
    assert file.read_bytes() == b"mine"
    assert coach("sheet", "--out", file, "--force", *home).returncode == 0
    assert file.read_bytes().startswith(b"%PDF")


def test_a_week_that_is_too_long_says_by_how_many_lines(
    home: tuple[object, ...], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(press, "sheet", lambda _: TooLong(3))
    made = coach("sheet", "--out", tmp_path / "week.pdf", *home)
    assert made.returncode == 2
    assert "3 lines too long for one page" in made.stderr
    assert not (tmp_path / "week.pdf").exists()


def test_a_back_page_that_is_too_long_says_by_how_many_lines(
    home: tuple[object, ...], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(press, "sheet", lambda _: TooLong(0, 1))
    made = coach("sheet", "--out", tmp_path / "week.pdf", *home)
    assert made.returncode == 2
    assert "The back page is 1 line too long" in made.stderr


def test_there_is_no_sheet_of_a_week_that_is_none(home: tuple[object, ...]) -> None:
    made = coach("sheet", "--week", "2027-W60", *home)
    assert made.returncode == 2
    assert "has no week 60" in made.stderr
