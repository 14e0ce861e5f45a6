"""A Markdown text cut into lessons: one for each heading of the first level that stands in no other block."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from typing import TYPE_CHECKING

from markdown_it import MarkdownIt

from coach.course.model import Lesson

if TYPE_CHECKING:
    from collections.abc import Iterator

# When one file of a folder changes, the others need not be taken apart again.
_CACHED = 1024
# Headings are a matter of blocks; what stands within the lines need not be read for them.
_BLOCKS = MarkdownIt("commonmark").disable("inline")


@dataclass(frozen=True, slots=True)
class LessonText:
    """The lessons of a text.

    Attributes:
        lessons: In order.
        lines: The line on which each lesson's heading stands.
        stray: The first line of text before the first heading, which belongs to no lesson, if there is any.
        text: The whole text.
        first_line: The line of its file on which it begins.
    """

    lessons: tuple[Lesson, ...]
    lines: tuple[int, ...]
    stray: int | None
    text: str
    first_line: int


@dataclass(frozen=True, slots=True)
class _Heading:
    """A level-1 heading: its title, its first line and the first line after it, as indexes."""

    title: str
    begins: int
    ends: int


@lru_cache(maxsize=_CACHED)
def lessons_of(text: str, first_line: int = 1) -> LessonText:
    """Cut a text with newlines as its line ends, which begins on `first_line` of its file, into lessons."""
    lines = text.split("\n")
    headings = list(_headings(text))
    ends = [*(heading.begins for heading in headings), len(lines)][1:]
    lessons = [
        Lesson(heading.title, "\n".join(lines[heading.ends : end]).strip("\n").rstrip())
        for heading, end in zip(headings, ends, strict=True)
    ]
    before = lines[: headings[0].begins] if headings else lines
    stray = next((number for number, line in enumerate(before, first_line) if line.strip()), None)
    begins = tuple(first_line + heading.begins for heading in headings)
    return LessonText(tuple(lessons), begins, stray, text, first_line)


def _headings(text: str) -> Iterator[_Heading]:
    tokens = _BLOCKS.parse(text)
    for token, inner in pairwise(tokens):
        if token.type == "heading_open" and token.tag == "h1" and token.level == 0 and token.map:
            title = " ".join(line.strip() for line in inner.content.split("\n"))
            yield _Heading(title, *token.map)
