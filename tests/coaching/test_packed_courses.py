"""Courses taken from folders and packed files: whole, checked, with their own texts."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from coach.coaching.lessons_folder import shipped_lessons
from coach.coaching.library import find_course
from coach.coaching.packed_courses import checked_files, folder_course, packed_course
from coach.course.packing import packed
from coach.errors import FaultyFile
from coaching.folders import STEADY, hall, written

if TYPE_CHECKING:
    from pathlib import Path


def test_a_folder_is_packed_with_its_own_texts_and_read_back_the_same(tmp_path: Path) -> None:
    found = folder_course(written(tmp_path / "hall", hall(**{"README.md": "A note."})))
    assert list(found.files) == [
        *("course.toml", "01-shoes.md", "02-coats.md", "cautions.toml", "steady/01-ours.md")
    ]
    assert packed_course(found.packed, "hall.zip") == found
    assert (found.id, found.course.title, found.course.licence) == ("hall", "The hall", "CC BY 4.0")
    assert [text.lessons[0].title for text in found.texts] == ["Our own steady day"]
    assert list(found.cautions) == ["acid"]


def test_texts_beside_a_course_are_its_own_and_what_is_shipped_is_not(tmp_path: Path) -> None:
    files = {name: text for name, text in hall().items() if "/" not in name}
    written(tmp_path / "hall", files)
    written(tmp_path, {"returning/01-back.md": STEADY.replace("steady", "return", 1)})
    assert "returning/01-back.md" in folder_course(tmp_path / "hall").files
    shipped = folder_course(shipped_lessons() / "three-weeks")
    assert not [name for name in shipped.files if "/" in name]


def test_the_digest_is_the_folders_where_there_are_no_texts_beside_the_steps() -> None:
    assert folder_course(shipped_lessons() / "three-weeks").digest == find_course("three-weeks").digest


def test_a_text_of_its_own_makes_another_version(tmp_path: Path) -> None:
    one = folder_course(written(tmp_path / "a" / "hall", hall()))
    other = folder_course(written(tmp_path / "b" / "hall", hall(**{"steady/01-ours.md": STEADY + "More.\n"})))
    assert one.digest != other.digest
    assert one.course.steps == other.course.steps


def test_every_fault_of_a_packed_course_is_named_at_once_with_its_line() -> None:
    files = {name: text.encode() for name, text in hall().items()} | {
        "01-shoes.md": b'+++\ntitle = ""\nminuts = 3\n+++\n# Shoes\nIn a row.\n',
        "02-coats.md": b'+++\ntitle = "Coats"\nafter = ["hats"]\n+++\n# Coats\nOn hooks.\n',
        "steady/01-ours.md": b'+++\nwhen = "never"\n+++\n# A\nB\n',
        "cautions.toml": b'[acid]\ntitle = "Acid"\n',
    }
    with pytest.raises(FaultyFile) as found:
        packed_course(packed("hall", files, "The hall", ""), "hall.zip")
    places = [f"{fault.file}:{fault.line}" for fault in found.value.faults]
    assert places == [
        *("01-shoes.md:2", "01-shoes.md:3", "02-coats.md:3", "steady/01-ours.md:2"),
        *("cautions.toml:1", "cautions.toml:1"),
    ]


def test_a_course_whose_ramp_is_too_long_is_refused_like_a_folder() -> None:
    files = {name: text.encode() for name, text in hall().items()}
    with pytest.raises(FaultyFile, match=r"by the end of day 1 \(ramp_days\)"):
        checked_files("hall", files | {"course.toml": b'title = "The hall"\nramp_days = 1\n'})


def test_an_id_that_is_none_is_refused() -> None:
    files = {name: text.encode() for name, text in hall().items()}
    with pytest.raises(FaultyFile, match=r"cannot be a course's id.*rename the folder"):
        checked_files("the hall", files)
