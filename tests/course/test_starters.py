"""Pages to begin with out of a folder: read whole, or every fault of them named."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from coach.coaching.folder_check import check
from coach.coaching.library import FolderLibrary
from coach.course.reader import look_at_starters, read_starters

if TYPE_CHECKING:
    from pathlib import Path

GOOD = '+++\ntitle = "Bins"\nwhom = ["stand-in"]\n+++\n\nOut on: ____\n'


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "handover").mkdir()
    return tmp_path / "handover"


def test_a_page_has_the_name_of_its_file_and_its_text_whole(folder: Path) -> None:
    (folder / "02-bins.md").write_text(GOOD + "\n# A heading\n\nAnd more.\n")
    [page] = read_starters(folder)
    assert (page.id, page.title, page.whom) == ("bins", "Bins", ("stand-in",))
    assert page.markdown == "Out on: ____\n\n# A heading\n\nAnd more."


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (GOOD.replace('title = "Bins"\n', ""), "title"),
        (GOOD.replace("stand-in", "everybody"), "sitter, guest, stand-in, emergency"),
        (GOOD.replace('["stand-in"]', '"stand-in"'), "needs a list"),
        (GOOD.replace('["stand-in"]', "[]"), "names nobody"),
        (GOOD.replace("Out on: ____", ""), "there is no text"),
        (GOOD + "\x07", "cannot be shown"),
        ("Out on: ____\n", "+++"),
    ],
)
def test_every_fault_is_named_with_its_file(folder: Path, content: str, said: str) -> None:
    (folder / "02-bins.md").write_text(content)
    [fault] = look_at_starters(folder).faults
    assert fault.file == "02-bins.md"
    assert said in fault.reason


def test_two_of_one_name_are_named(folder: Path) -> None:
    for file in ("01-bins.md", "02-bins.md"):
        (folder / file).write_text(GOOD)
    [fault] = look_at_starters(folder).faults
    assert (fault.file, "before this one" in fault.reason) == ("02-bins.md", True)


def test_a_lessons_folder_has_its_own_pages_or_the_shipped_ones(folder: Path) -> None:
    (folder / "02-bins.md").write_text(GOOD)
    assert [page.id for page in FolderLibrary(folder.parent).starters()] == ["bins"]
    shipped = [page.id for page in FolderLibrary().starters()]
    assert shipped[0] == "first-words"


def test_the_check_of_a_folder_looks_at_them_too(folder: Path) -> None:
    (folder / "02-bins.md").write_text(GOOD.replace("Bins", ""))
    assert [fault.file for fault in check(folder.parent).faults] == ["handover/02-bins.md"]
