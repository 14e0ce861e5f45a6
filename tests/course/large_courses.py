"""Courses of very many steps."""

from __future__ import annotations

from typing import TYPE_CHECKING

from course.course_folders import step_text

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path


def chain(number: int) -> str:
    """Each step comes after the one before it."""
    return f'after = ["s{number - 1}"]\n' if number else ""


def dense(number: int) -> str:
    """Each step comes after the twenty before it."""
    names = ", ".join(f'"s{before}"' for before in range(max(0, number - 20), number))
    return f"after = [{names}]\n" if number else ""


def roots(_number: int) -> str:
    """Each step can be begun with."""
    return ""


def large_course(folder: Path, steps: int, after: Callable[[int], str]) -> Path:
    """Write a course of so many steps into a folder."""
    settings = f'title = "A large course"\nramp_days = {4 * steps + 50}\nat_once = {steps}\n'
    (folder / "course.toml").write_text(settings, encoding="utf-8")
    for number in range(steps):
        front = f'small = "Less"\nwhy = "It helps"\n{after(number)}'
        text = step_text(front, title=f"Step {number}")
        (folder / f"{number:04}-s{number}.md").write_text(text, encoding="utf-8")
    return folder
