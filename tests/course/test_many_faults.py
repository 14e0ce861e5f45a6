"""Of a folder with very many faults the first fifty are named and the rest are counted."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from coach.coaching.folder_check import check
from coach.coaching.library import FolderLibrary
from coach.course.reader import load_course, look_at_catalogue, look_at_rooms, look_at_texts, read_course
from coach.errors import MOST_NAMED, Fault, Faults, FaultyFile
from coach.ground.faults import FieldFault, Unfit
from course.course_folders import course_folder, step_text

if TYPE_CHECKING:
    from pathlib import Path

FAULTY = "".join(f"k{number} = 1\n" for number in range(30))
SHORT = "# A lesson\n\nShort.\n" * 30


def faulty(folder: Path) -> Path:
    """A course of five files with thirty faults each."""
    return course_folder(folder, **{f"step-{number}": step_text(FAULTY) for number in range(5)})


def test_a_course_names_the_first_fifty_in_the_order_of_its_files(tmp_path: Path) -> None:
    faults = read_course(faulty(tmp_path)).faults
    assert (len(faults), faults.more) == (MOST_NAMED, 100)
    assert [fault.file for fault in faults] == ["01-step-0.md"] * 30 + ["02-step-1.md"] * 20


def test_one_file_with_many_faults_counts_those_that_are_not_named(tmp_path: Path) -> None:
    many = "".join(f"k{number} = 1\n" for number in range(300))
    with pytest.raises(FaultyFile) as refused:
        load_course(course_folder(tmp_path, one=step_text(many), two=step_text(FAULTY)))
    assert (len(refused.value.faults), refused.value.count) == (50, 330)


@pytest.mark.parametrize("look", [look_at_catalogue, look_at_texts, look_at_rooms])
def test_parts_beside_a_course_do_so_too(tmp_path: Path, look: object) -> None:
    for number in range(60):
        (tmp_path / f"{number:02}-one.md").write_text(step_text(FAULTY), encoding="utf-8")
        (tmp_path / f"{number:02}-one.toml").write_text(FAULTY, encoding="utf-8")
    faults = look(tmp_path).faults  # type: ignore[operator]  # one of three functions
    assert len(faults) == 50
    assert faults.more >= 60 * 30 - 50


def test_a_check_names_fifty_faults_of_all_folders_together(tmp_path: Path) -> None:
    faulty(tmp_path / "one")
    faulty(tmp_path / "two")
    faults = check(tmp_path).faults
    assert (len(faults), faults.number) == (50, 300)
    assert faults[0].file == "one/01-step-0.md"


def test_a_check_names_fifty_doubts(tmp_path: Path) -> None:
    steps = {f"step-{number}": step_text("waits = false\n", SHORT) for number in range(3)}
    doubts = check(course_folder(tmp_path, **steps, last=step_text())).doubts
    assert len(doubts) == 50
    assert doubts.number > 90


def test_a_folder_of_lessons_is_refused_with_fifty(tmp_path: Path) -> None:
    faulty(tmp_path)
    with pytest.raises(FaultyFile) as refused:
        FolderLibrary(tmp_path)
    assert (len(refused.value.faults), refused.value.more) == (50, 100)


def test_parts_with_more_of_their_own_bring_their_number() -> None:
    one, other = Faults([Fault("a", 1, "wrong")], 7), (Fault("b", line, "wrong") for line in range(60))
    faults = Faults.of(one, other)
    assert ([fault.file for fault in faults], faults.more) == (["a"] + ["b"] * 49, 18)


def test_of_a_form_the_first_fifty_fields_are_named() -> None:
    refused = Unfit(FieldFault(f"field-{number}", "Write something.") for number in range(1_000))
    assert (len(refused.faults), refused.more) == (50, 950)
    assert str(refused) == "Write something. And 950 more."
