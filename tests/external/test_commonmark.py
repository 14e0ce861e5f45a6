"""Lessons begin where CommonMark has headings of the first level outside of other blocks, and lose no line.

Source: the CommonMark Spec, https://spec.commonmark.org/; each case names its section.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.course.lesson_text import lessons_of

LINES = [
    "",
    "# One",
    "#",
    "## Three",
    "words",
    "===",
    "```",
    "> # quoted",
    "- item",
    "  # in it",
    "<!--",
    "-->",
]


@pytest.mark.parametrize(
    ("text", "titles"),
    [
        pytest.param("#hash\n\n# \n\n####### a", [""], id="ATX headings: a space, no text, seven"),
        pytest.param("   # a ##\n    # b\n\n# c #d", ["a", "c #d"], id="ATX headings: indented, closed"),
        pytest.param("a\n===\nwords\n\nb\n  lines\n=", ["a", "b lines"], id="Setext headings"),
        pytest.param("a\n= =\n\n> b\nc\n===\n\n====", [], id="Setext headings: broken, lazy, empty"),
        pytest.param("```\n# no\n~~~\n```\n# a", ["a"], id="Fenced code blocks: closed by their own kind"),
        pytest.param("````\n# no\n```\n# no", [], id="Fenced code blocks: closed by the end"),
        pytest.param("<!-- note\n\n# no\n-->\n# a", ["a"], id="HTML blocks: a comment"),
        pytest.param("<div>\n# no\n\n# a\n</div>", ["a"], id="HTML blocks: end at a blank line"),
        pytest.param("<pre>\n\n# no\n</pre>\n# a", ["a"], id="HTML blocks: as they are written"),
        pytest.param("- # no\n\n  # no\n\n# a", ["a"], id="List items"),
        pytest.param("> # no\n\n# a", ["a"], id="Block quotes"),
    ],
)
def test_lessons_begin_at_the_top_headings(text: str, titles: list[str]) -> None:
    assert [lesson.title for lesson in lessons_of(text).lessons] == titles


@given(st.lists(st.sampled_from(LINES), max_size=9))
def test_every_line_is_before_the_lessons_or_in_one(lines: list[str]) -> None:
    found = lessons_of("\n".join(lines), first_line=5)
    begins = [line - 5 for line in found.lines]
    ends = [*begins, len(lines)][1:]
    for lesson, begin, end in zip(found.lessons, begins, ends, strict=True):
        whole = "\n".join(lines[begin:end]).rstrip()
        assert whole.endswith(lesson.markdown)
        heading = whole.removesuffix(lesson.markdown).strip().split("\n")
        assert len(heading) == 1 or heading[-1].strip("=") == ""
    before = lines[: begins[0]] if begins else lines
    assert (found.stray is None) == (not any(line.strip() for line in before))
