"""Lessons begin where CommonMark has headings of the first level outside of lists, quotations and code.

Source: the CommonMark Spec, https://spec.commonmark.org/, read by markdown-it-py with HTML switched off.
"""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from markdown_it import MarkdownIt

from coach.course.lesson_text import lessons_of

PARSER = MarkdownIt("commonmark", {"html": False})
LINES = [
    "",
    "# One",
    "#",
    "   # Two ##",
    "    # code",
    "## Three",
    "#Four",
    "#\tFive",
    "\t# code",
    "some words",
    "  more words",
    "===",
    "  =====  ",
    "---",
    "= =",
    "* * *",
    "```",
    "```python",
    "~~~~",
    "~~~",
    "``` a ` b",
    "> quoted",
    "> # quoted",
    ">",
    "- item",
    "  # in the item",
    "- # heading in an item",
    "1. item",
    "2. item",
    "<!-- # no comment",
    r"# with \# escape \#",
    "# closing #not",
]


def headings(text: str) -> list[tuple[int, str]]:
    """The line, counted from 1, and the text of every top heading that stands in no container."""
    tokens = PARSER.parse(text)
    return [
        (token.map[0] + 1, " ".join(tokens[index + 1].content.split()))
        for index, token in enumerate(tokens)
        if token.type == "heading_open" and token.tag == "h1" and token.level == 0 and token.map
    ]


def found(text: str) -> list[tuple[int, str]]:
    lessons = lessons_of(text)
    titles = [" ".join(lesson.title.split()) for lesson in lessons.lessons]
    return list(zip(lessons.lines, titles, strict=True))


@given(st.lists(st.sampled_from(LINES), max_size=8).map("\n".join))
@settings(max_examples=1500)
def test_lessons_begin_at_the_top_headings(text: str) -> None:
    assert found(text) == headings(text)


@pytest.mark.parametrize(
    ("text", "titles"),
    [
        ("# One\nwords\n# Two", ["One", "Two"]),
        ("One\n===\nwords\n\nTwo\nlines\n=", ["One", "Two lines"]),
        ("# One\n```\n# code\n```\n    # code\n# Two", ["One", "Two"]),
        ("# One\n\n- item\n\n  # in it\n\n> # quoted\n\n## Below", ["One"]),
        ("#hash\n\n# ", [""]),
    ],
)
def test_headings_of_each_kind(text: str, titles: list[str]) -> None:
    assert [title for _, title in found(text)] == titles == [title for _, title in headings(text)]
