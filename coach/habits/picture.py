"""The picture of a path."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.course.layout import picture
from coach.course.model import Step

if TYPE_CHECKING:
    from coach.course.layout import Picture
    from coach.habits.answers import Path


def picture_of(path: Path) -> Picture:
    """The graph of a path, laid out to be drawn; nodes in the path's order."""
    return picture(
        Step(id=step.step, title=step.title, after=step.after, after_any=step.after_any)
        for step in path.steps
    )
