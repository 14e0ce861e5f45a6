"""Small course folders for tests."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path

LESSON = "# A lesson\n\nSome words.\n"


def step_text(front: str = "", lessons: str = LESSON, title: str = "A step") -> str:
    """The text of a step's file."""
    return f'+++\ntitle = "{title}"\n{front}+++\n{lessons}'


def course_folder(folder: Path, settings: str = "", **steps: str) -> Path:
    """Write a course of these steps (by id, in order) into a folder."""
    folder.mkdir(exist_ok=True)
    (folder / "course.toml").write_text(f'title = "A course"\n{settings}', encoding="utf-8")
    for number, (step, text) in enumerate(steps.items(), 1):
        (folder / f"{number:02}-{step}.md").write_text(text, encoding="utf-8")
    return folder
