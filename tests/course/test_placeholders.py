"""Numbers of a course in texts that belong to no course."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from coach.coaching.folder_check import check
from coach.course.model import Course, Return, Settles, Step, Strength
from coach.course.placeholders import (
    VALUES,
    filled,
    number_words,
    pace_words,
    settling_words,
    time_words,
    unknown_names,
)
from coach.course.reader import read_texts
from coach.errors import FaultyFile

if TYPE_CHECKING:
    from pathlib import Path

USUAL = Course("Usual", (Step("a", "A"), Step("b", "B"), Step("c", "C", settles=Settles(3, 4))))
OTHER = Course(
    "Other",
    (Step("a", "A", settles=Settles(4, 5)), Step("job", "Job", waits=False)),
    ramp_days=30,
    at_once=2,
    lapse_after=10,
    returning=Return(half_life=30.5, good_day=0.75),
    strength=Strength(days_to_95=90, half_life_missed=10),
    paces={"standard": 0, "patient": 2},
)


@pytest.mark.parametrize(
    ("name", "usual", "other"),
    [
        ("lapse_after", "seven", "ten"),
        ("lapse_time", "a week", "ten days"),
        ("half_life", "fourteen", "30.5"),
        ("half_life_time", "two weeks", "30.5 days"),
        ("ramp_days", "21", "30"),
        ("ramp_time", "three weeks", "30 days"),
        ("at_once", "one", "two"),
        ("kept", "two", "four"),
        ("of", "three", "five"),
        ("good_day", "two in three", "three in four"),
        ("good_of_2", "two", "two"),
        ("good_of_3", "two", "three"),
        ("good_of_6", "four", "five"),
        ("days_to_95", "66", "90"),
        ("missed_percent", "1.5", "6.7"),
        ("half_after_a_miss", "49", "47"),
    ],
)
def test_a_name_stands_for_the_number_of_the_course_at_hand(name: str, usual: str, other: str) -> None:
    assert (filled(f"{{{name}}}", USUAL), filled(f"{{{name}}}", OTHER)) == (usual, other)


def test_every_name_is_tested_above() -> None:
    assert len(VALUES) == 16


def test_a_capital_letter_begins_a_sentence() -> None:
    assert filled("{Kept} of the last {of}. {Lapse_time}.", USUAL) == "Two of the last three. A week."


def test_the_pace_of_the_household_counts() -> None:
    assert filled("{kept} of {of}", USUAL, "gentle") == "three of four"
    assert filled("{kept} of {of}", OTHER, "patient") == "six of seven"


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("{{half_life}}", "{half_life}"),
        ("{{{half_life}}}", "{fourteen}"),
        ("{ half_life }, {}, {1}, {, }", "{ half_life }, {}, {1}, {, }"),
        ("plain", "plain"),
        ("{{ and }}", "{ and }"),
    ],
)
def test_other_braces_are_only_braces(text: str, shown: str) -> None:
    assert filled(text, USUAL) == shown
    assert list(unknown_names(text)) == []


def test_a_name_that_stands_for_nothing_is_found_with_its_line_and_what_is_meant() -> None:
    assert list(unknown_names("{half_life}\n{halflife} {zebra}")) == [
        (1, "“{halflife}” names no number of a course; did you mean “half_life”?"),
        (1, "“{zebra}” names no number of a course; write “{{” and “}}” if braces are meant"),
    ]


def test_a_text_with_such_a_name_is_refused(tmp_path: Path) -> None:
    (tmp_path / "01-a.md").write_text('+++\nwhen = "missed"\n+++\n# Half\n\nof {zebra}\n', encoding="utf-8")
    with pytest.raises(FaultyFile) as caught:
        read_texts(tmp_path)
    assert [(fault.file, fault.line) for fault in caught.value.faults] == [("01-a.md", 6)]


def test_the_check_of_a_course_finds_it_in_the_folders_around(tmp_path: Path) -> None:
    text = '+++\nwhen = "steady"\n+++\n# Half\n\nof {zebra}\n'
    for around in (tmp_path, tmp_path / "course"):
        (around / "steady").mkdir(parents=True)
        (around / "steady" / "01-a.md").write_text(text, encoding="utf-8")
    (tmp_path / "course" / "course.toml").write_text('title = "A"\n', encoding="utf-8")
    found = [
        (fault.file, fault.line) for fault in check(tmp_path / "course").faults if "zebra" in fault.reason
    ]
    assert found == [("steady/01-a.md", 6), ("../steady/01-a.md", 6)]


def test_numbers_and_times_in_words() -> None:
    assert [number_words(number) for number in (1, 20, 21, 1000, 2.5)] == [
        "one",
        "twenty",
        "21",
        "1000",
        "2.5",
    ]
    assert [time_words(days) for days in (1, 3, 7, 14, 21, 2.5)] == [
        "a day", "three days", "a week", "two weeks", "three weeks", "2.5 days",
    ]  # fmt: skip


def test_a_pace_says_how_often_a_step_comes() -> None:
    assert pace_words(USUAL) == {
        "standard": "With everything kept, a new step about every other day.",
        "gentle": "With everything kept, a new step about once in three days.",
    }
    assert pace_words(OTHER) == {
        "standard": "With everything kept, a new step about every other day.",
        "patient": "With everything kept, a new step about once in three days.",
    }


def test_every_pace_says_how_often_a_step_is_kept_before_it_settles() -> None:
    assert settling_words(USUAL) == {
        "standard": "Most steps settle once they are kept 2 of the last 3 times.",
        "gentle": "Most steps settle once they are kept 3 of the last 4 times.",
    }
    assert settling_words(OTHER) == {
        "standard": "Many steps settle once they are kept 4 of the last 5 times.",
        "patient": "Many steps settle once they are kept 6 of the last 7 times.",
    }
    once = Course("Once", (Step("a", "A", settles=Settles(1, 1)),))
    assert settling_words(once) == {
        "standard": "A step settles once it is kept.",
        "gentle": "A step settles once it is kept 2 of the last 2 times.",
    }
