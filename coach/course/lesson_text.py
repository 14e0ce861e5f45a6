"""A Markdown text cut into lessons: one for every heading of the first level (CommonMark 0.31)."""

from __future__ import annotations

import re
from dataclasses import dataclass

from coach.course.model import Lesson

_HEADING = re.compile(r"(#{1,6})(?:[ \t]+(.*?))?(?:[ \t]+#+)?[ \t]*$")
_UNDERLINE = re.compile(r"(=+|-+)[ \t]*$")
_BREAK = re.compile(r"([-*_])([ \t]*\1){2,}[ \t]*$")
_FENCE = re.compile(r"(`{3,}(?=[^`]*$)|~{3,})")
_QUOTE = re.compile(r">")
_ITEM = re.compile(r"([-+*]|[0-9]{1,9}[.)])([ \t]+(?=\S)|[ \t]*$)")
_CODE_INDENT = 4
_NOTHING_IS_INSIDE = 10_000


@dataclass(frozen=True, slots=True)
class LessonText:
    """The lessons of a text.

    Attributes:
        lessons: In order.
        lines: The line on which each lesson's heading stands.
        stray: The first line of text before the first heading, which belongs to no lesson, if there is any.
    """

    lessons: tuple[Lesson, ...]
    lines: tuple[int, ...]
    stray: int | None


@dataclass(frozen=True, slots=True)
class _Heading:
    """A level-1 heading: its title, its first line and the first line after it, as indexes."""

    title: str
    begins: int
    ends: int


def lessons_of(text: str, first_line: int = 1) -> LessonText:
    """Cut a text that begins on `first_line` of its file into lessons."""
    lines = text.split("\n")
    blocks = _Blocks(lines)
    headings = [heading for index in range(len(lines)) if (heading := blocks.heading_at(index))]
    ends = [*(heading.begins for heading in headings), len(lines)][1:]
    lessons = [
        Lesson(heading.title, "\n".join(lines[heading.ends : end]).strip("\n").rstrip())
        for heading, end in zip(headings, ends, strict=True)
    ]
    before = lines[: headings[0].begins] if headings else lines
    stray = next((number for number, line in enumerate(before, first_line) if line.strip()), None)
    return LessonText(tuple(lessons), tuple(first_line + heading.begins for heading in headings), stray)


@dataclass(slots=True)
class _Blocks:
    """The blocks of a text, read line by line as far as headings depend on them.

    Attributes:
        lines: The whole text.
        fence: The opening of the fenced code that has not ended yet.
        paragraph: The index on which the current paragraph began, if it could become a heading.
        inside: The indentation that keeps a line inside the current list item or quotation.
        open_text: Whether that item or quotation ends in text which the next line may go on with.
    """

    lines: list[str]
    fence: str | None = None
    paragraph: int | None = None
    inside: int | None = None
    open_text: bool = False

    def heading_at(self, index: int) -> _Heading | None:
        """Read one line; return the level-1 heading that ends on it."""
        line = self.lines[index].expandtabs(_CODE_INDENT)
        words = line.strip(" ")
        indent = len(line) - len(line.lstrip(" "))
        if self.fence is not None:
            self._in_fence(words, indent)
            return None
        if not words:
            self.paragraph, self.open_text = None, False
            return None
        return None if self._is_inside(words, indent) else self._at_top(index, words, indent)

    def _in_fence(self, words: str, indent: int) -> None:
        mark = self.fence or ""
        if indent < _CODE_INDENT and len(words) >= len(mark) and words == mark[0] * len(words):
            self.fence = None

    def _is_inside(self, words: str, indent: int) -> bool:
        """Whether a line belongs to the list item or quotation before it, by indentation or as its text."""
        if self.inside is None:
            return False
        if indent >= self.inside:
            self.open_text = _is_text(words) and not (self.open_text and _UNDERLINE.match(words))
            return True
        if self.open_text and (indent >= _CODE_INDENT or not _begins_block(words)):
            return True
        self.inside = None
        return False

    def _at_top(self, index: int, words: str, indent: int) -> _Heading | None:
        """Read a line that stands in no list item or quotation."""
        if indent >= _CODE_INDENT:
            return None
        begun, self.paragraph = self.paragraph, None
        if heading := _HEADING.match(words):
            return _Heading(heading[2] or "", index, index + 1) if len(heading[1]) == 1 else None
        if begun is not None and (underline := _UNDERLINE.match(words)):
            title = " ".join(line.strip() for line in self.lines[begun:index])
            return _Heading(title, begun, index + 1) if underline[1][0] == "=" else None
        self._open(index, words, indent, begun)
        return None

    def _open(self, index: int, words: str, indent: int, begun: int | None) -> None:
        """Open the block that a line begins: code, a quotation, a list item or else a paragraph."""
        if _BREAK.match(words):
            return
        if fence := _FENCE.match(words):
            self.fence = fence[1]
        elif _QUOTE.match(words):
            self.inside, self.open_text = _NOTHING_IS_INSIDE, _is_text(words)
        elif (item := _ITEM.match(words)) and (begun is None or _interrupts(item)):
            self.inside = indent + len(item[1]) + (len(item[2]) if 0 < len(item[2]) <= _CODE_INDENT else 1)
            self.open_text = _is_text(words)
        else:
            self.paragraph = index if begun is None else begun


def _is_text(words: str) -> bool:
    """Whether a line, once the marks of quotations and list items are off, is ordinary text."""
    while mark := _QUOTE.match(words) or _ITEM.match(words):
        words = words[mark.end() :].strip()
    return bool(words) and not _begins_block(words)


def _begins_block(words: str) -> bool:
    return any(pattern.match(words) for pattern in (_HEADING, _BREAK, _FENCE, _QUOTE, _ITEM))


def _interrupts(item: re.Match[str]) -> bool:
    """Whether a list item may follow a paragraph without a blank line between."""
    return bool(item[2]) and (not item[1][0].isdigit() or item[1][:-1] == "1")
