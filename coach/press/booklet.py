"""A course's booklet as PDF: its lessons in the order in which they come."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from coach.ground.wording import minutes_words
from coach.press.books import book, bound
from coach.press.letters import plain, values
from coach.press.markdown import nodes_of
from coach.press.setting import Form

if TYPE_CHECKING:
    from coach.paper.answers import Booklet, BookletStep
    from coach.press.printed import Printed

_FORM = Form(("ground", "motifs", "book", "booklet", "pages"))
_LEVEL = 4
"""Lessons stand under headings of the third level."""


def booklet(booklet: Booklet) -> Printed:
    """A course's lessons on as many pages as they need, with contents and page numbers.

    Raises:
        Malformed: They are too long to set.
        NotReady: The library is not installed, or no face of type has a letter.
    """
    bound(lesson.markdown for step in booklet.steps for lesson in step.lessons)
    found = values(booklet)
    found["aside"] = " ".join(part for part in (plain(booklet.summary), _ramp(booklet)) if part)
    found["steps"] = [_step(step, known) for step, known in zip(found["steps"], booklet.steps, strict=True)]
    return book(_FORM, found, booklet.paper)


def _ramp(booklet: Booklet) -> str:
    """How long the course takes, in words."""
    days = booklet.ramp_days
    return "" if days is None else f"With everything kept it takes {days} days."


def _step(step: dict[str, Any], known: BookletStep) -> dict[str, Any]:
    day = "" if known.day is None else f"Day {known.day}"
    aside = (day, known.repeats_text, minutes_words(known.minutes), known.cue)
    lessons = [
        {"title": plain(lesson.title), "nodes": nodes_of(lesson.markdown, _LEVEL)} for lesson in known.lessons
    ]
    return step | {"aside": plain(" · ".join(part for part in aside if part)), "lessons": lessons}
