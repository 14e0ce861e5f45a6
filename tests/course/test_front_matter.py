"""Lesson files taken apart: no content makes reading fail, and faults know their lines."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.course.drafts import draft, faults_together
from coach.course.front_matter import lesson_file
from coach.course.toml_text import read_toml
from coach.errors import FaultyFile

PIECES = st.sampled_from(
    [
        "+++",
        'title = "A step"',
        'title = """',
        '"""',
        '"" = 1',
        "settles.kept = 2",
        "settles = { kept = 2, of = 3 }",
        "[settles]",
        "[[lines]]",
        "minutes = 1979-05-27T07:32:00Z",
        "after = [",
        '"a",',
        "]",
        'after = ["a"]',
        "# A heading",
        "waits = true",
        "\ufeff",
        "\r",
    ]
)


@given(st.binary() | st.lists(PIECES).map("\n".join).map(str.encode))
def test_any_file_is_either_a_step_or_has_faults(content: bytes) -> None:
    item = draft("01-a.md", content)
    together = list(faults_together([item], "folder"))
    if item.faults or together:
        assert all(fault.reason and (fault.line is None or fault.line >= 1) for fault in item.faults)
    else:
        assert item.step().id == "a"


def test_lessons_know_their_lines_in_the_file() -> None:
    text = '+++\ntitle = "A"\n+++\n\nStray.\n\n# One\n\nWords.\n\nTwo\n===\n'
    parts = lesson_file("01-a.md", text.encode())
    assert [(lesson.title, lesson.markdown) for lesson in parts.text.lessons] == [
        ("One", "Words."),
        ("Two", ""),
    ]
    assert (parts.text.lines, parts.text.stray) == ((7, 11), 5)


@pytest.mark.parametrize(
    ("path", "value", "line"),
    [
        ("title", None, 11),
        ("hold", None, 17),
        ("hold.over", None, 18),
        ("hold.missing", None, 17),
        ("settles.of", None, 15),
        ("after", "b", 14),
        ("after", "gone", 12),
        ("strength.half life", None, 20),
        ("missing", None, None),
    ],
)
def test_a_key_is_found_on_its_line(path: str, value: str | None, line: int | None) -> None:
    text = (
        'title = "A"\n'
        "after = [\n"
        '  "a",\n'
        '  "b" ]\n'
        "settles.of = 3\n"
        'text = """[hold]"""\n'
        "[hold]\n"
        "over = 7\n"
        "[ strength ]\n"
        '"half life" = """\n'
        'title = 3"""\n'
    )
    assert read_toml(text, "file", first_line=11).line_of(path, value) == line


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("a = 1\nb =", "file:3: this is not TOML: Invalid value"),
        ("a = '''\n\n", "file:2: this is not TOML: Expected \"'''\", at its end"),
        ("a = " + "[" * 5000, "file:2: this TOML cannot be read"),
        ("a = " + "9" * 5000, "file:2: this TOML cannot be read"),
    ],
)
def test_toml_that_cannot_be_read_is_one_fault_with_its_line(text: str, fault: str) -> None:
    with pytest.raises(FaultyFile) as raised:
        read_toml(text, "file", first_line=2)
    assert str(raised.value).startswith(fault)


def test_line_ends_of_old_kinds_are_lines_too() -> None:
    parts = lesson_file("01-a.md", b'+++\rtitle = "A"\r+++\r# One\r\rWords.\r\n# Two\n')
    assert (parts.text.lines, parts.text.lessons[0].markdown) == ((4, 7), "Words.")
