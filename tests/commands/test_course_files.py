"""A course as one file, brought here, and read through beforehand, by commands."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from coach.coaching.library import find_course
from coach.coaching.packed_courses import packed_course
from coach.coaching.preview import preview
from coach.store.opening import open_store
from coaching.folders import hall, written
from commands.running import coach

if TYPE_CHECKING:
    from pathlib import Path


NO_PACK = "this is no packed course that can be read; pack its folder with coach course pack"


def test_a_course_is_packed_and_kept_and_is_another_version_once_it_changes(tmp_path: Path) -> None:
    folder, file = written(tmp_path / "hall", hall()), tmp_path / "hall.zip"
    database = f"sqlite:///{tmp_path / 'home.db'}"
    packed = coach("course", "pack", folder, "--out", file)
    assert (packed.returncode, packed.stdout) == (0, packed.stdout)
    assert packed_course(file.read_bytes(), "hall.zip").id == "hall"
    first = coach("course", "add", file, "--database", database)
    assert "COACH_COURSE=brought:hall" in first.stdout
    assert "already" in coach("course", "add", file, "--database", database).stdout
    (folder / "01-shoes.md").write_text(hall()["01-shoes.md"].replace("In a row.", "Two and two."))
    assert coach("course", "pack", folder, "--out", file).returncode == 2
    assert coach("course", "pack", folder, "--out", file, "--force").returncode == 0
    assert coach("course", "add", file, "--database", database).returncode == 0
    store = open_store(database)
    with store.coaching_reading() as reading:
        assert [one.course for one in reading.kept_courses("")] == ["hall", "hall"]
    store.close()


def test_a_course_with_faults_is_neither_packed_nor_kept_and_every_fault_is_named(tmp_path: Path) -> None:
    bad = {"01-shoes.md": "+++\ntitle = 3\nminuts = 2\n+++\n# A\nB\n"}
    folder, file = written(tmp_path / "hall", hall(**bad)), tmp_path / "hall.zip"
    packed = coach("course", "pack", folder, "--out", file)
    assert (packed.returncode, file.exists()) == (1, False)
    assert re.findall(r"^01-shoes.md:\d", packed.stdout, re.MULTILINE) == ["01-shoes.md:2", "01-shoes.md:3"]
    assert "Refused: 2 faults." in packed.stdout
    file.write_bytes(b"PK nothing")
    added = coach("course", "add", file, "--database", f"sqlite:///{tmp_path / 'home.db'}")
    assert (added.returncode, added.stdout) == (
        1,
        f"hall.zip: {NO_PACK}\nRefused: 1 fault.\n",
    )


def test_a_coach_who_is_not_there_is_named_with_those_who_are(tmp_path: Path) -> None:
    folder, file = written(tmp_path / "hall", hall()), tmp_path / "hall.zip"
    coach("course", "pack", folder, "--out", file)
    added = coach("course", "add", file, "--coach", "Anna", "--database", f"sqlite:///{tmp_path / 'home.db'}")
    assert added.returncode == 2
    assert "There is no coach “Anna”" in added.stderr


def test_a_preview_prints_each_lesson_with_its_day_and_those_that_never_come(tmp_path: Path) -> None:
    more = "".join(f"# Lesson {number}\nText.\n" for number in range(2, 190))
    folder = written(tmp_path / "hall", hall(**{"02-coats.md": hall()["02-coats.md"] + more}))
    shown = coach("course", "preview", folder)
    assert re.findall(r"^Day (\d+): \w+ \((\w+)\), lesson (\d+)", shown.stdout, re.MULTILINE)[:3] == [
        *(("1", "shoes", "1"), ("3", "coats", "1"), ("4", "coats", "2"))
    ]
    assert "Never within 180 days:" in shown.stdout
    assert "- Coats (coats), lesson 189 of 189: Lesson 189" in shown.stdout
    page = tmp_path / "hall.html"
    told = coach("course", "preview", folder, "--kept", "0.6", "--out", page)
    kept_less = preview(find_course(str(folder)), 0.6)
    assert (told.returncode, page.read_text().count("<article>")) == (0, len(kept_less.came))
    assert len(kept_less.came) + len(kept_less.never) == 190
    assert f"{len(kept_less.never)} that never come" in told.stdout
    assert coach("course", "preview", folder, "--kept", "0.7").returncode == 2
