"""A course's graph as an SVG file of its own, for print and for a coach's notes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.course.layout import picture
from coach.web.rendering import environment

if TYPE_CHECKING:
    from coach.course.model import Course


def course_svg(course: Course) -> str:
    """The graph as an SVG document: every step an empty field, every gate still shut."""
    steps = {step.id: step for step in course.steps}
    template = environment().get_template("course.svg")
    return template.render(course=course, picture=picture(course.steps), steps=steps)
