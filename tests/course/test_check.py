"""What a coach is asked to look at again."""

from __future__ import annotations

from pathlib import Path

import pytest

from coach.course.check import catalogue_warnings, lesson_warnings, warnings
from coach.course.new import starter
from coach.course.reader import look_at_catalogue, look_at_texts, read_cautions, read_course
from course.course_folders import course_folder, step_text

LESSONS = Path(__file__).parents[2] / "lessons"
GOOD = "\n\n".join(f"# Lesson {number}\n\n" + "word " * 60 for number in range(4))


def found(folder: Path) -> list[str]:
    reading = read_course(folder)
    assert reading.course is not None
    return [str(fault) for fault in warnings(reading.course, ["heat"], reading.drafts)]


def good(front: str = "", lessons: str = GOOD) -> str:
    return step_text(f'why = "Why"\nsmall = "Less"\n{front}', lessons)


def test_a_course_without_doubts_gives_none(tmp_path: Path) -> None:
    assert found(course_folder(tmp_path, a=good('caution = "heat"\n'), b=good('after = ["a"]\n'))) == []


def test_doubts_about_a_step_stand_in_its_file(tmp_path: Path) -> None:
    text = step_text("minutes = 0\n", "Stray.\n\n# Short\n\nSome words.\n\n#\n\n" + "word " * 151)
    assert found(course_folder(tmp_path, a=text)) == [
        "01-a.md: it has no small version; “small” is the least that still counts on a bad day",
        "01-a.md: households can begin with it, and it has no “why” that helps them choose",
        "01-a.md: it has 2 lessons; 4 or more help while it is being practised",
        "01-a.md:3: it takes 0 minutes; is that so?",
        "01-a.md:7: the lesson “Short” has 2 words; 40 to 150 read well",
        "01-a.md:11: this lesson has no title",
        "01-a.md:11: the lesson “” has 151 words; 40 to 150 read well",
        "01-a.md:5: this text stands before the first heading, so no lesson shows it",
    ]


@pytest.mark.parametrize(
    ("front", "doubts"),
    [
        ("minutes = 121\n", ["01-a.md:5: it takes 121 minutes, more than 120; can it be made smaller?"]),
        ("minutes = 120\n", []),
        ('caution = "hest"\n', ["01-a.md:5: there is no caution “hest”; did you mean “heat”?"]),
        ('caution = "ladder"\n', ["01-a.md:5: there is no caution “ladder”"]),
        (
            'repeats = "FREQ=WEEKLY"\nminutes = 8\nstop_after = 9\nlines = [{ title = "A", minutes = 7 }]\n',
            [
                "01-a.md:7: the lines add up to 7 minutes, and “stop_after” says 9",
                "01-a.md:8: the lines add up to 7 minutes, and “minutes” says 8",
            ],
        ),
    ],
)
def test_a_doubtful_value_has_its_line(tmp_path: Path, front: str, doubts: list[str]) -> None:
    assert found(course_folder(tmp_path, a=good(front))) == doubts


def test_a_step_that_does_not_wait_may_have_one_lesson(tmp_path: Path) -> None:
    one = "# Lesson\n\n" + "word " * 60
    assert found(course_folder(tmp_path, a=good("waits = false\n", one))) == []


def test_a_step_that_no_link_touches_is_pointed_out(tmp_path: Path) -> None:
    folder = course_folder(tmp_path, a=good(), b=good('after_any = ["a"]\n'), c=good())
    assert found(folder) == ["03-c.md: it comes after no step and no step comes after it; is that meant?"]


def test_without_files_a_doubt_names_the_step(tmp_path: Path) -> None:
    course = read_course(course_folder(tmp_path, a=good("minutes = 0\n"))).course
    assert course is not None
    assert [str(fault) for fault in warnings(course, [])] == ["a.md: it takes 0 minutes; is that so?"]


def test_a_new_course_has_neither_faults_nor_doubts(tmp_path: Path) -> None:
    for file, text in starter().items():
        (tmp_path / file).write_text(text, encoding="utf-8")
    assert found(tmp_path) == []


def test_the_three_weeks_have_no_doubts() -> None:
    reading = read_course(LESSONS / "three-weeks")
    assert reading.course is not None
    assert warnings(reading.course, read_cautions(LESSONS / "cautions.toml"), reading.drafts) == ()


def test_one_lesson_of_one_word_is_counted_in_the_singular(tmp_path: Path) -> None:
    assert found(course_folder(tmp_path, a=good(lessons="# Short\n\nWord.")))[:2] == [
        "01-a.md: it has 1 lesson; 4 or more help while it is being practised",
        "01-a.md:6: the lesson “Short” has 1 word; 40 to 150 read well",
    ]


SHOWN = """\
# Lesson

A <b>bold</b>
word, <br> and
a ![picture](hall.png) of `<i>`.

<!-- note
# no lesson
-->

- ~~~
  code
  ~~~

"""


def test_what_a_lesson_does_not_show_is_named_with_its_line(tmp_path: Path) -> None:
    html = "HTML is not shown as such, people would read its tags; write it in Markdown or take it out"
    picture = "this picture is not shown, since lessons are text alone; say in words what it shows"
    lessons = SHOWN + "word " * 40 + "\n\n" + GOOD
    assert found(course_folder(tmp_path, a=good(lessons=lessons))) == [
        f"01-a.md:8: {html}",
        f"01-a.md:9: {html}",
        f"01-a.md:10: {picture}",
        f"01-a.md:12: {html}",
    ]


@pytest.mark.parametrize("end", ["", "\n", "\ncode", "\ncode\n", "\n\n", "\n``\n# No lesson\n"])
def test_code_that_is_never_closed_is_named_with_its_line(tmp_path: Path, end: str) -> None:
    doubts = found(course_folder(tmp_path, a=good(lessons=f"{GOOD}\n\n```{end}")))
    assert "01-a.md:22: the code that begins here is never closed; end it with a line ```" in doubts


@pytest.mark.parametrize("code", ["```\n```", "```\ncode\n````", "~~~ toml\n\n~~~\n", "`code`", "    ```"])
def test_code_that_is_closed_is_no_doubt(tmp_path: Path, code: str) -> None:
    assert found(course_folder(tmp_path, a=good(lessons=f"{GOOD}\n\n{code}"))) == []


@pytest.mark.parametrize(
    ("rule", "doubt"),
    [
        ("FREQ=MONTHLY;BYMONTH=2;BYMONTHDAY=29", "it falls on 29 February alone, in leap years at most"),
        ("FREQ=MONTHLY;INTERVAL=12;BYMONTH=2", "it falls less than once a year"),
        ("FREQ=MONTHLY;BYMONTH=1;BYDAY=5MO", "it falls less than once a year"),
        ("FREQ=MONTHLY;INTERVAL=12", ""),
        ("FREQ=MONTHLY;BYMONTH=2;BYMONTHDAY=-1", ""),
    ],
)
def test_a_rule_that_falls_seldom_is_named(tmp_path: Path, rule: str, doubt: str) -> None:
    doubts = found(course_folder(tmp_path, a=good(f'repeats = "{rule}"\n')))
    assert [one.split(";")[0] for one in doubts] == ([f"01-a.md:5: {doubt}"] if doubt else [])


def test_a_text_is_looked_at_like_a_lesson(tmp_path: Path) -> None:
    (tmp_path / "01-a.md").write_text('+++\nwhen = "steady"\n+++\n# A\n\nShort <hr>.\n', encoding="utf-8")
    doubts = [str(doubt) for text in look_at_texts(tmp_path).found for doubt in lesson_warnings(text.content)]
    assert [doubt.split(",")[0] for doubt in doubts] == [
        "01-a.md:4: the lesson “A” has 2 words; 40 to 150 read well",
        "01-a.md:6: HTML is not shown as such",
    ]


def test_a_step_to_be_added_is_looked_at_without_its_place_in_a_course(tmp_path: Path) -> None:
    (tmp_path / "01-a.md").write_text(step_text('caution = "hest"\n', GOOD), encoding="utf-8")
    assert [str(doubt) for doubt in catalogue_warnings(look_at_catalogue(tmp_path).found, ["heat"])] == [
        "01-a.md: it has no small version; “small” is the least that still counts on a bad day",
        "01-a.md:3: there is no caution “hest”; did you mean “heat”?",
    ]
