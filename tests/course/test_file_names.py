"""Names of files: those that are left out are named, and so are an order and ids that surprise."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from coach.course.reader import load_course, look_at_rooms, look_at_texts, read_course
from course.course_folders import LESSON, course_folder, step_text

if TYPE_CHECKING:
    from pathlib import Path


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return course_folder(tmp_path, first=step_text())


def doubts(folder: Path) -> list[str]:
    return [str(doubt) for doubt in read_course(folder).doubts]


@pytest.mark.parametrize(
    ("file", "better"),
    [
        ("02-hall.txt", "02-hall.md"),
        ("02-hall.md.txt", "02-hall.md"),
        ("02-hall.markdown", "02-hall.md"),
        ("02-hall", "02-hall.md"),
    ],
)
def test_a_step_with_another_ending_is_named_with_the_name_it_needs(
    folder: Path, file: str, better: str
) -> None:
    (folder / file).write_text("\ufeff" + step_text(), encoding="utf-8")
    (doubt,) = doubts(folder)
    assert doubt.startswith(f"{file}:1: this begins like a lesson file and is left out")
    assert doubt.endswith(f"rename it {better}")


def test_other_files_are_left_out_without_a_word(folder: Path) -> None:
    for file in ("notes.txt", "expected", "picture.svg", ".02-hall.txt"):
        (folder / file).write_text("++ no step", encoding="utf-8")
    assert doubts(folder) == []


def test_a_step_with_another_ending_is_named_beside_the_fault_it_causes(folder: Path) -> None:
    (folder / "02-hall.txt").write_text(step_text(), encoding="utf-8")
    (folder / "03-coats.md").write_text(step_text('after = ["hall"]\n'), encoding="utf-8")
    reading = read_course(folder)
    assert [fault.file for fault in reading.faults] == ["03-coats.md"]
    assert [doubt.file for doubt in reading.doubts] == ["02-hall.txt"]


@pytest.mark.parametrize("file", ["README.md", "readme.md"])
def test_a_file_about_the_folder_is_no_step_and_changes_nothing(folder: Path, file: str) -> None:
    before = load_course(folder)
    (folder / file).write_text("# About this course\n\nWho wrote it.\n", encoding="utf-8")
    assert load_course(folder) == before
    assert doubts(folder) == []


def test_another_markdown_file_without_keys_is_said_to_be_no_lesson_file(folder: Path) -> None:
    (folder / "ideas.md").write_text("# Ideas\n", encoding="utf-8")
    (fault,) = map(str, read_course(folder).faults)
    assert fault.startswith("ideas.md:1: this Markdown file has to begin with a line +++")
    assert fault.endswith(
        "if it is a note and no lesson file, end its name in .txt or move it out of the folder"
    )


def test_numbers_that_are_not_in_order_are_named_with_the_name_they_need(folder: Path) -> None:
    for file in ("10-c.md", "9-d.md", "2-e.md", "100-f.md"):
        (folder / file).write_text(step_text(), encoding="utf-8")
    sorted_as_text = (
        "names are sorted as text, so 100-f.md comes before this one; pad the number with a nought"
    )
    assert doubts(folder) == [
        f"2-e.md: {sorted_as_text}: 002-e.md",
        f"9-d.md: {sorted_as_text}: 009-d.md",
    ]


def test_the_order_of_texts_and_starter_lists_is_looked_at_too(tmp_path: Path) -> None:
    for file in ("10-a.md", "9-b.md"):
        (tmp_path / file).write_text('+++\nwhen = "steady"\n+++\n' + LESSON, encoding="utf-8")
    for file in ("10-a.toml", "9-b.toml"):
        (tmp_path / file).write_text('title = "A"\nwords = []\ndetail = []\n', encoding="utf-8")
    assert [doubt.file for doubt in look_at_texts(tmp_path).doubts] == ["9-b.md"]
    assert [doubt.file for doubt in look_at_rooms(tmp_path).doubts] == ["9-b.toml"]


@pytest.mark.parametrize(("step", "better"), [("Bed-Made", "bed-made"), ("bed_made", "bed-made")])
def test_an_id_that_is_not_as_ids_are_is_named(folder: Path, step: str, better: str) -> None:
    (folder / f"02-{step}.md").write_text(step_text(), encoding="utf-8")
    assert doubts(folder) == [
        f"02-{step}.md: ids are small letters, digits and hyphens; “{better}” reads better than “{step}”"
    ]
