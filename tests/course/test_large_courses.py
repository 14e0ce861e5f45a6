"""How large a course can be, and what is said of one that is larger."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from coach.coaching.folder_check import check
from coach.coaching.library import FolderLibrary
from coach.course.layout import picture
from coach.course.reader import MOST_FILES, load_course, look_at_texts
from coach.errors import FaultyFile
from coach.progress import ramp
from course.large_courses import chain, large_course, roots

if TYPE_CHECKING:
    from pathlib import Path


def test_a_folder_with_more_files_than_are_read_is_refused_by_name(tmp_path: Path) -> None:
    folder = large_course(tmp_path, MOST_FILES, chain)
    (fault,) = check(folder).faults
    assert fault.file == str(folder)
    assert fault.reason.startswith("this folder has 501 files of lessons, and 500 is the most that are read")
    with pytest.raises(FaultyFile, match="501 files of lessons"):
        FolderLibrary(folder)


def test_texts_beside_a_course_are_counted_too(tmp_path: Path) -> None:
    folder = large_course(tmp_path, MOST_FILES + 1, chain)
    assert "500 is the most" in look_at_texts(folder).faults[0].reason


def test_as_many_files_as_are_read_make_a_course_that_is_followed_and_drawn(tmp_path: Path) -> None:
    folder = large_course(tmp_path, MOST_FILES - 1, chain)
    assert check(folder).faults == ()
    assert len(picture(load_course(folder).steps).nodes) == MOST_FILES - 1


def test_a_course_too_large_to_be_followed_through_is_refused_with_what_to_do(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(ramp, "MOST_LOOKED_AT", 10_000)
    monkeypatch.setattr(ramp.Looks, "__init__", lambda looks: setattr(looks, "left", 10_000))
    (fault,) = check(large_course(tmp_path, 30, roots)).faults
    assert fault.file == "course.toml"
    assert "with 30 steps, 30 of them to begin with, and 170 days (ramp_days)" in fault.reason
    assert "for 30 starts. Let households begin with fewer of the steps" in fault.reason


def test_a_look_ahead_ends_when_all_has_come_and_settled(tmp_path: Path) -> None:
    course = load_course(large_course(tmp_path, 5, chain))
    looks = ramp.Looks()
    ramp.ramp(course, "", "standard", 100_000, enough=looks.are_enough)
    assert ramp.MOST_LOOKED_AT - looks.left < 5 * 5 * 4
