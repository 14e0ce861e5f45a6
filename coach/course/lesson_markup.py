"""What pages do not show of a lesson as its writer meant it: HTML, pictures, and code that never ends."""

from __future__ import annotations

from typing import TYPE_CHECKING

from markdown_it import MarkdownIt

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from markdown_it.token import Token

    from coach.course.lesson_text import LessonText

HTML = "HTML is not shown as such, people would read its tags; write it in Markdown or take it out"
PICTURE = "this picture is not shown, since lessons are text alone; say in words what it shows"
_WHOLE = MarkdownIt("commonmark")
_BREAKS = {"softbreak", "hardbreak"}


def markup_doubts(text: LessonText) -> list[tuple[int, str]]:
    """Every place in a text that is not shown as it was meant: (line of its file, what to do)."""
    # Without a newline at its end the library counts the last line of an unclosed block differently.
    tokens = _WHOLE.parse(text.text + "\n")
    found = [(line, reason) for token in tokens for line, reason in _block_doubts(token)]
    return list(dict.fromkeys((text.first_line + line, reason) for line, reason in found))


def unclosed_code(text: LessonText) -> int | None:
    """The line of the first code block that is never closed, if there is one."""
    blocks = (token for token in _WHOLE.parse(text.text + "\n") if _is_unclosed(token))
    return next((text.first_line + token.map[0] for token in blocks if token.map), None)


def _block_doubts(token: Token) -> Iterator[tuple[int, str]]:
    if token.map is None:
        return
    if token.type == "html_block":
        yield token.map[0], HTML
    elif _is_unclosed(token):
        yield token.map[0], f"the code that begins here is never closed; end it with a line {token.markup}"
    elif token.type == "inline":
        yield from _inline_doubts(token.children or (), token.map[0])


def _is_unclosed(token: Token) -> bool:
    """Whether no line closes a fenced block: it then has one line more than its content, not two."""
    if token.type != "fence" or token.map is None:
        return False
    begin, end = token.map
    return end - begin - token.content.count("\n") == 1


def _inline_doubts(children: Sequence[Token], line: int) -> Iterator[tuple[int, str]]:
    for token in children:
        if token.type in _BREAKS:
            line += 1
        elif token.type == "html_inline":
            yield line, HTML
            line += token.content.count("\n")
        elif token.type == "image":
            yield line, PICTURE
