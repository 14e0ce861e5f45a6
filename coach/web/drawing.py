"""Pictures as SVG files of their own: the graph of a course, and shares of phases over days."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.course.layout import picture
from coach.web.phases import in_lines, palettes, stack
from coach.web.rendering import STATIC, environment

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from coach.course.model import Course


def course_svg(course: Course) -> str:
    """The graph as an SVG document: every step an empty field, every gate still shut."""
    steps = {step.id: step for step in course.steps}
    template = environment().get_template("course.svg")
    return template.render(course=course, picture=picture(course.steps), steps=steps)


def phases_svg(title: str, among: str, households: int, by_day: Mapping[str, Sequence[int]]) -> str:
    """Shares of phases over days as an SVG document.

    Args:
        title: What it is of.
        among: Who are counted, in words.
        households: How many they are.
        by_day: For each phase how many of them are in it on each day.
    """
    light, dark = palettes((STATIC / "tokens.css").read_text(encoding="utf-8"))
    return (
        environment()
        .get_template("phases.svg")
        .render(
            title=title,
            among=among,
            heading=[*in_lines(title), *in_lines(among)],
            days=len(next(iter(by_day.values()))),
            stack=stack(households, by_day),
            light=light,
            dark=dark,
        )
    )
