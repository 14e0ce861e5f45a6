"""The lessons folder: read, read again when it changes, and kept as it was when a change is faulty."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest

from coach.coaching import library
from coach.coaching.folder_check import check
from coach.coaching.lessons_folder import shipped_lessons
from coach.coaching.library import FolderLibrary, find_course
from coach.errors import FaultyFile, Unknown

TEXT = '+++\nwhen = "{when}"\n+++\n# Own\nText.\n'
STEP = '+++\ntitle = "{title}"\n+++\n# {title}\nText.\n'


@pytest.fixture(autouse=True)
def look_at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Look at the files at every question, not once a second."""
    monkeypatch.setattr(library, "LOOK_EVERY", 0.0)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A lessons folder with one course of one step."""
    course = tmp_path / "own"
    course.mkdir()
    (course / "course.toml").write_text('title = "Own"\n', encoding="utf-8")
    (course / "01-bed.md").write_text(STEP.format(title="Bed"), encoding="utf-8")
    return tmp_path


def test_a_folder_of_courses_has_each_by_its_name(folder: Path) -> None:
    found = FolderLibrary(folder)
    assert found.default == "own"
    assert found.course("own").title == "Own"
    with pytest.raises(Unknown, match=r"There is no course “other”. There are: own."):
        found.course("other")


def test_a_course_folder_will_do_by_itself(folder: Path) -> None:
    assert FolderLibrary(folder / "own").course("own").title == "Own"


def test_what_a_folder_lacks_comes_from_the_shipped_lessons(folder: Path) -> None:
    found, shipped = FolderLibrary(folder), FolderLibrary(shipped_lessons())
    assert dict(found.cautions()) == dict(shipped.cautions())
    assert list(found.texts()) == list(shipped.texts())
    assert list(found.catalogue()) == list(shipped.catalogue())


def test_its_own_parts_take_the_place_of_the_shipped_ones(folder: Path) -> None:
    (folder / "catalogue").mkdir()
    (folder / "catalogue" / "plants.md").write_text(STEP.format(title="Plants"), encoding="utf-8")
    (folder / "steady").mkdir()
    (folder / "steady" / "01-own.md").write_text(TEXT.format(when="steady"), encoding="utf-8")
    assert list(FolderLibrary(folder).catalogue()) == ["plants"]
    steady = [text for text in FolderLibrary(folder).texts() if text.when == "steady"]
    assert [lesson.title for text in steady for lesson in text.lessons] == ["Own"]


def test_a_catalogue_of_its_own_has_the_groups_beside_it_and_no_shipped_ones(folder: Path) -> None:
    assert FolderLibrary(folder).groups() == FolderLibrary(shipped_lessons()).groups() != ()
    (folder / "catalogue").mkdir()
    (folder / "catalogue" / "01-plants.md").write_text(STEP.format(title="Plants"), encoding="utf-8")
    found = FolderLibrary(folder)
    assert found.groups() == ()
    groups = folder / "catalogue" / "groups.toml"
    groups.write_text('[green]\ntitle = "Green"\nsteps = ["plants"]\n', encoding="utf-8")
    assert [(group.title, group.steps) for group in found.groups()] == [("Green", ("plants",))]


def test_a_fault_of_the_groups_is_found_by_whoever_reads_them(folder: Path) -> None:
    (folder / "catalogue").mkdir()
    (folder / "catalogue" / "groups.toml").write_text(
        '[green]\ntitle = "Green"\nsteps = ["plants"]\n', encoding="utf-8"
    )
    told = "catalogue/groups.toml:3: the catalogue has no step “plants”"
    assert [str(fault) for fault in check(folder).faults] == [told]
    with pytest.raises(FaultyFile, match="no step “plants”"):
        FolderLibrary(folder)


def test_a_folder_of_texts_alone_leaves_everything_else_as_shipped(tmp_path: Path) -> None:
    (tmp_path / "steady").mkdir()
    (tmp_path / "steady" / "01-own.md").write_text(TEXT.format(when="steady"), encoding="utf-8")
    found, shipped = FolderLibrary(tmp_path), FolderLibrary()
    assert found.default == "three-weeks"
    assert found.course("three-weeks") == shipped.course("three-weeks")
    assert dict(found.catalogue()) == dict(shipped.catalogue())
    assert list(found.rooms()) == list(shipped.rooms())
    others = [text for text in shipped.texts() if text.when != "steady"]
    assert [text for text in found.texts() if text.when != "steady"] == others


def test_an_occasion_without_a_text_of_its_own_has_the_shipped_ones(folder: Path) -> None:
    (folder / "steady").mkdir()
    (folder / "returning").mkdir()
    (folder / "returning" / "01-own.md").write_text(TEXT.format(when="missed"), encoding="utf-8")
    found = FolderLibrary(folder).texts()
    assert [text.lessons[0].title for text in found if text.when == "missed"] == ["Own"]
    for when in ("return", "rebuilding", "paused", "steady"):
        shipped = [text for text in FolderLibrary().texts() if text.when == when]
        assert [text for text in found if text.when == when] == shipped


def test_all_faulty_parts_are_named_with_their_folders(folder: Path) -> None:
    (folder / "own" / "01-bed.md").write_text("broken", encoding="utf-8")
    for name in ("catalogue", "returning", "steady"):
        (folder / name).mkdir()
        (folder / name / "01-a.md").write_text("broken", encoding="utf-8")
    (folder / "cautions.toml").write_text("broken", encoding="utf-8")
    with pytest.raises(FaultyFile) as raised:
        FolderLibrary(folder)
    assert {fault.file for fault in raised.value.faults} == {
        "own/01-bed.md",
        "catalogue/01-a.md",
        "returning/01-a.md",
        "steady/01-a.md",
        "cautions.toml",
    }


def test_a_pipe_in_the_place_of_the_cautions_is_a_fault(folder: Path) -> None:
    os.mkfifo(folder / "cautions.toml")
    with pytest.raises(FaultyFile, match=r"cautions\.toml: this is a named pipe"):
        FolderLibrary(folder)


def test_a_changed_file_is_read_again(folder: Path) -> None:
    found = FolderLibrary(folder)
    before, digest = found.course("own"), found.digest()
    assert found.digest() == digest
    (folder / "own" / "01-bed.md").write_text(STEP.format(title="The covers"), encoding="utf-8")
    assert found.course("own").steps[0].title == "The covers"
    assert found.course("own").digest != before.digest
    assert found.digest() != digest


def test_a_new_file_is_a_new_step(folder: Path) -> None:
    found = FolderLibrary(folder)
    (folder / "own" / "02-cups.md").write_text(STEP.format(title="Cups"), encoding="utf-8")
    assert [step.id for step in found.course("own").steps] == ["bed", "cups"]


@pytest.mark.parametrize(
    "content", ["no front matter", "+++\ntitle = \n+++\n# A\nb\n", STEP.format(title="")]
)
def test_a_faulty_change_leaves_the_last_good_course_and_is_reported(
    folder: Path, content: str, caplog: pytest.LogCaptureFixture
) -> None:
    found = FolderLibrary(folder)
    before = found.course("own")
    (folder / "own" / "01-bed.md").write_text(content, encoding="utf-8")
    assert found.course("own") == before
    assert found.course("own") == before
    assert [record.levelname for record in caplog.records] == ["WARNING"] * len(caplog.records)
    assert caplog.records
    assert "The lessons stay as they were: own/01-bed.md" in caplog.text


def test_a_faulty_change_is_reported_once_and_mending_it_is_noticed(
    folder: Path, caplog: pytest.LogCaptureFixture
) -> None:
    found = FolderLibrary(folder)
    path = folder / "own" / "01-bed.md"
    path.write_text("broken", encoding="utf-8")
    found.course("own")
    reports = len(caplog.records)
    found.course("own")
    assert len(caplog.records) == reports
    path.write_text(STEP.format(title="Mended"), encoding="utf-8")
    assert found.course("own").steps[0].title == "Mended"


def test_a_ramp_that_no_longer_holds_is_a_faulty_change(
    folder: Path, caplog: pytest.LogCaptureFixture
) -> None:
    found = FolderLibrary(folder)
    (folder / "own" / "course.toml").write_text('title = "Own"\nramp_days = 1\n', encoding="utf-8")
    assert found.course("own").ramp_days == 21
    assert "ramp_days" in caplog.text


def test_a_folder_taken_away_leaves_what_was_read(folder: Path) -> None:
    found = FolderLibrary(folder)
    shutil.rmtree(folder)
    assert found.course("own").title == "Own"


def test_a_folder_that_is_faulty_from_the_first_is_refused(folder: Path) -> None:
    (folder / "own" / "01-bed.md").write_text("broken", encoding="utf-8")
    with pytest.raises(FaultyFile):
        FolderLibrary(folder)


@pytest.mark.parametrize("name", ["", "missing"])
def test_a_folder_without_a_course_is_refused(tmp_path: Path, name: str) -> None:
    with pytest.raises(FaultyFile, match="No course is here"):
        FolderLibrary(tmp_path / name)


def test_a_course_is_found_by_its_folder_or_by_its_shipped_name(folder: Path) -> None:
    assert find_course(str(folder / "own")).title == "Own"
    assert find_course("three-weeks").ramp_days == 21
    with pytest.raises(Unknown, match="There is no course folder “nowhere” and no course of that name"):
        find_course("nowhere")


def test_a_file_that_vanishes_while_the_folder_is_looked_at_changes_nothing(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    found = FolderLibrary(folder)
    looked = Path.stat

    def gone(path: Path, *, follow_symlinks: bool = True) -> os.stat_result:
        if path.name == "01-bed.md":
            raise FileNotFoundError(2, "No such file or directory", str(path))
        return looked(path, follow_symlinks=follow_symlinks)

    monkeypatch.setattr(Path, "stat", gone)
    assert [step.id for step in found.course("own").steps] == ["bed"]
    monkeypatch.undo()
    monkeypatch.setattr(library, "LOOK_EVERY", 0.0)
    assert [step.id for step in found.course("own").steps] == ["bed"]


def test_a_file_half_written_when_it_is_read_is_read_again_when_it_is_whole(
    folder: Path, caplog: pytest.LogCaptureFixture
) -> None:
    found = FolderLibrary(folder)
    file = folder / "own" / "02-cups.md"
    file.write_text('+++\ntitle = "Cu', encoding="utf-8")
    assert [step.id for step in found.course("own").steps] == ["bed"]
    assert "The lessons stay as they were" in caplog.text
    file.write_text(STEP.format(title="Cups"), encoding="utf-8")
    assert [step.id for step in found.course("own").steps] == ["bed", "cups"]


def test_a_folder_that_cannot_be_looked_at_is_a_sentence_at_the_start_and_keeps_what_was_read_later(
    folder: Path, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    found = FolderLibrary(folder)
    looked = Path.exists

    def closed(path: Path) -> bool:
        if path == folder / "areas":
            raise PermissionError(13, "Permission denied", str(path))
        return looked(path)

    monkeypatch.setattr(Path, "exists", closed)
    with pytest.raises(FaultyFile, match=r"areas: this cannot be read: Permission denied"):
        FolderLibrary(folder)
    with pytest.raises(FaultyFile, match=r"areas: this cannot be read: Permission denied"):
        check(folder)
    (folder / "own" / "02-cups.md").write_text(STEP.format(title="Cups"), encoding="utf-8")
    assert [step.id for step in found.course("own").steps] == ["bed"]
    assert "areas: this cannot be read: Permission denied" in caplog.text


def test_links_that_lead_in_a_circle_are_a_sentence(tmp_path: Path) -> None:
    (tmp_path / "circle").symlink_to("circle")
    with pytest.raises(FaultyFile, match="No course is here"):
        FolderLibrary(tmp_path / "circle")


def test_a_folder_given_another_name_and_its_own_again_is_read_throughout(folder: Path) -> None:
    found = FolderLibrary(folder)
    folder.rename(folder.with_name("elsewhere"))
    assert found.course("own").title == "Own"
    folder.with_name("elsewhere").rename(folder)
    (folder / "own" / "02-cups.md").write_text(STEP.format(title="Cups"), encoding="utf-8")
    assert [step.id for step in found.course("own").steps] == ["bed", "cups"]
