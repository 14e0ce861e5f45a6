"""A course's own cautions stand beside those shipped with Steading, and before them where both have a key."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.coaching.lessons_folder import known_cautions

if TYPE_CHECKING:
    from pathlib import Path


def written(place: Path, key: str, title: str) -> None:
    place.mkdir(exist_ok=True)
    (place / "cautions.toml").write_text(
        f'[{key}]\ntitle = "{title}"\ntext = "Both feet stay on the rungs."\nsource = "common practice"\n'
    )


def test_shipped_cautions_are_there_beside_those_of_the_folder_around_and_the_course(tmp_path: Path) -> None:
    written(tmp_path, "attic", "Around")
    written(tmp_path / "mine", "bleach", "Inside")
    found = known_cautions(tmp_path / "mine")
    assert (found["attic"].title, found["bleach"].title) == ("Around", "Inside")
    assert "ladder" in found


def test_cautions_of_a_course_hold_in_the_folder_of_lessons_around_it(tmp_path: Path) -> None:
    written(tmp_path / "mine", "attic", "Inside")
    (tmp_path / "mine" / "course.toml").write_text('title = "Mine"\n')
    assert known_cautions(tmp_path)["attic"].title == "Inside"
    written(tmp_path, "attic", "Around")
    assert known_cautions(tmp_path)["attic"].title == "Around"
