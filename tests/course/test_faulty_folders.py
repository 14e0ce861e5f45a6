"""Faulty course folders as plain files: each holds the faults it must give, all of them, in expected.txt."""

from pathlib import Path

import pytest

from coach.course.reader import load_course, read_course
from coach.errors import FaultyFile

FOLDERS = sorted(path for path in (Path(__file__).parent / "faulty").iterdir() if path.is_dir())


@pytest.mark.parametrize("folder", FOLDERS, ids=lambda folder: folder.name)
def test_a_faulty_folder_gives_all_its_faults_in_their_places(folder: Path) -> None:
    reading = read_course(folder)
    found = [str(fault).replace(str(folder), "FOLDER") for fault in reading.faults]
    assert found == (folder / "expected.txt").read_text(encoding="utf-8").splitlines()
    assert found
    assert reading.course is None


def test_loading_a_faulty_folder_raises_all_its_faults() -> None:
    folder = Path(__file__).parent / "faulty" / "everything-at-once"
    with pytest.raises(FaultyFile) as raised:
        load_course(folder)
    assert raised.value.faults == read_course(folder).faults
