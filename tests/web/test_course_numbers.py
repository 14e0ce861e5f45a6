"""What a page says of the rules is what the course followed says: another course, other numbers."""

from __future__ import annotations

import shutil
from typing import TYPE_CHECKING

import pytest

from coach.coaching.lessons_folder import shipped_lessons
from web.house import House

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

COURSE = """
title = "A slow one"
ramp_days = 60
lapse_after = 4
[return]
half_life = 30
good_day = 0.75
[strength]
days_to_95 = 90
half_life_missed = 10
[paces]
standard = 0
patient = 2
"""
STEP = """\
+++
title = "Shoes in a row"
settles = { kept = 4, of = 5 }
+++
# Shoes

Row.
"""
OTHER = """\
+++
title = "Shake the mat"
waits = false
+++
# Mat

Shake.
"""


@pytest.fixture
def other(tmp_path: Path) -> Iterator[House]:
    folder = tmp_path / "lessons"
    (folder / "slow").mkdir(parents=True)
    (folder / "slow" / "course.toml").write_text(COURSE, encoding="utf-8")
    (folder / "slow" / "01-shoes.md").write_text(STEP, encoding="utf-8")
    # One text of each kind, so that its day shows it whatever its number.
    for name in ("returning", "steady"):
        shutil.copytree(shipped_lessons() / name, folder / name)
    (folder / "slow" / "02-mat.md").write_text(OTHER, encoding="utf-8")
    for file in (folder / "returning").iterdir():
        _only_first_lesson(file)
    house = House(tmp_path, lessons=folder)
    yield house
    house.close()


def _only_first_lesson(file: Path) -> None:
    text = file.read_text(encoding="utf-8")
    head, _, rest = text.partition("\n# ")
    file.write_text(f"{head}\n# {rest.split(chr(10) + '# ')[0]}\n", encoding="utf-8")


def lesson_after(house: House, days: int) -> str:
    house.start(first="shoes")
    house.mark("shoes")
    house.sleep(days)
    return str(house.day()["lesson"]["markdown"])


def test_the_start_page_says_how_fast_the_paces_of_the_course_are(other: House) -> None:
    page = other.http.get("/start").text
    assert "a new step about once in four days." in page
    assert "a new step about once in six days." in page
    assert "every other day" not in page


def test_the_settings_say_what_the_paces_of_the_course_ask_for(other: House) -> None:
    other.start(first="shoes")
    page = other.http.get("/settings").text
    assert "kept 4 of the last 5 times." in page
    assert "kept 6 of the last 7 times." in page
    assert "entle" not in page


def test_a_return_is_told_after_how_many_days_it_is_one(other: House) -> None:
    assert "It has been four days or more." in " ".join(lesson_after(other, 5).split())


def test_a_return_after_a_fortnight_is_told_what_halves_the_list(other: House) -> None:
    text = " ".join(lesson_after(other, 15).split())
    assert "Every 30 days away halve the list" in text


def test_the_day_after_a_miss_says_what_a_miss_takes(other: House) -> None:
    other.start(first="shoes")
    other.sleep(1)
    # A bad day has two outcomes or more, all of them missed.
    for step in ("shoes", "mat"):
        other.mark(step, "missed")
    other.sleep(1)
    text = " ".join(str(other.day()["lesson"]["markdown"]).split())
    assert "a miss takes about 6.7 per cent" in text
    assert "is now at about 47." in text


def test_the_shipped_course_says_its_own_numbers(house: House) -> None:
    house.mark("bed-made")
    house.sleep(8)
    page = house.http.get("/today").text
    assert "{" not in page.partition('class="prose"')[2].partition("</details>")[0]
