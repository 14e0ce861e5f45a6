"""Which one lesson a day gets."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

import pytest

from coach.course.model import Course, Lesson, Step
from coach.course.texts import TextFile
from coach.progress.lessons import lesson_of, lessons_of
from progress.living import a_course, a_step, days, lived, marks, on, row, start

if TYPE_CHECKING:
    from coach.progress.log import Row


def text(when: str, number: int, **about: object) -> TextFile:
    """A file of so many lessons, named after what they are for."""
    name = "-".join([when, *(str(value) for value in about.values())])
    found = tuple(Lesson(f"{name} {place} of {number}", "...") for place in range(1, number + 1))
    return TextFile(when, lessons=found, **about)  # type: ignore[arg-type]  # its own keys


TEXTS = (
    text("return", 2, from_days=7),
    text("return", 2, from_days=21),
    text("return", 2, from_days=7, after_pause=True),
    text("rebuilding", 3),
    text("missed", 4),
    text("paused", 3),
    text("steady", 5),
    text("steady", 28),
)
COURSE = a_course(
    a_step("bed", 4), a_step("cups", 3, after=["bed"]), a_step("job", 2, waits=False, after=["bed"])
)


def titles(
    rows: list[Row], last: int, course: Course = COURSE, catalogue: dict[str, Step] | None = None
) -> list[str]:
    """The title of the lesson of each day up to one."""
    found = [lesson_of(day, TEXTS, catalogue or {}) for day in lived(course, rows, last).values()]
    return [chosen.lesson.title if chosen else "" for chosen in found]


def test_a_steps_first_lesson_belongs_to_the_day_it_comes_and_the_others_to_the_days_after() -> None:
    rows = [*start(), *marks("kept", [1, 3], "bed"), *marks("missed", [2], "bed")]
    assert titles(rows, 3) == ["bed 1", "bed 2", "bed 3"]


def test_the_latest_step_to_come_is_read_first() -> None:
    rows = [*start(), *marks("kept", days(1, 9), "bed"), *marks("kept", days(3, 9), "cups")]
    rows += marks("kept", days(4, 9), "job")
    assert titles(rows, 5) == ["bed 1", "bed 2", "cups 1", "job 1", "job 2"]
    assert titles(rows, 6)[5].startswith("steady")


def test_a_step_marked_before_its_turn_has_its_first_lesson_that_day() -> None:
    rows = [*start(), row(1, "kept", "bed"), row(2, "kept", "job")]
    assert titles(rows, 2)[1] == "job 1"


def test_of_two_steps_that_came_on_one_day_the_later_in_the_course_is_read_first() -> None:
    bed = a_step("bed", 1, settles={"kept": 9, "of": 9})
    course = a_course(bed, a_step("job", 3, waits=False, after=["bed"]), a_step("cups", 3, after=["bed"]))
    rows = [*start(), *marks("kept", days(1, 5), "bed"), *marks("kept", days(2, 5), "job", "cups")]
    assert titles(rows, 4, course)[1:] == ["cups 1", "cups 2", "cups 3"]


def test_the_day_after_a_miss_has_its_own_lesson_once_the_steps_are_read() -> None:
    bed = a_course(a_step("bed", 1))
    rows = [*start(), *marks("kept", [1, 2], "bed"), row(3, "missed", "bed"), row(4, "kept", "bed")]
    assert [title.split()[0] for title in titles(rows, 5, bed)] == [
        "bed",
        "steady",
        "steady",
        "missed",
        "steady",
    ]


def test_without_lessons_for_it_the_day_after_a_miss_reads_like_any_other() -> None:
    steady = text("steady", 5)
    day = lived(a_course("bed"), [*start(), row(1, "missed", "bed")], 2)[2]
    chosen = lesson_of(day, (steady,), {})
    assert chosen is not None
    assert chosen.lesson == steady.lessons[2]


def test_a_steps_lesson_is_told_with_its_step() -> None:
    days_ = lived(COURSE, [*start(), row(1, "kept", "bed")], 2)
    assert [chosen and chosen.step for chosen in (lesson_of(day, TEXTS, {}) for day in days_.values())] == [
        "bed",
        "bed",
    ]


def test_away_and_on_the_way_back_the_lesson_is_about_that() -> None:
    bed = a_course("bed", "cups", at_once=2)
    rows = [
        *start(),
        *marks("kept", days(1, 6), "bed", "cups"),
        row(15, "resume", value="one"),
        row(17, "pause"),
    ]
    read = titles(rows, 17, bed)
    assert read[12].startswith("missed")
    assert read[13].startswith("return-7")  # lapsed: what a return today would be greeted with
    assert read[14].startswith("return-7")
    assert read[15].startswith("rebuilding")
    assert read[16].startswith("paused")


@pytest.mark.parametrize(
    ("away", "greeting"), [(7, "return-7 "), (20, "return-7 "), (21, "return-21 "), (90, "return-21 ")]
)
def test_a_return_is_greeted_by_the_length_of_the_absence(away: int, greeting: str) -> None:
    rows = [*start(), row(1, "kept", "bed"), row(2 + away, "kept", "bed")]
    assert titles(rows, 2 + away, a_course("bed"))[-1].startswith(greeting)


def test_a_return_from_a_pause_has_its_own_greeting() -> None:
    rows = [*start(), row(1, "kept", "bed"), row(2, "pause", value=on(30).isoformat())]
    assert titles(rows, 31, a_course("bed"))[-1].startswith("return-7-True")


def test_nobody_reads_the_same_twice_within_a_round() -> None:
    rows = [*start(), *marks("kept", days(1, 80), "bed")]
    steady = titles(rows, 80, a_course("bed"))
    assert all(first != second for first, second in pairwise(steady))
    for begins in range(len(steady) - 33):
        assert len(set(steady[begins : begins + 33])) == 33


def test_without_any_text_there_is_no_lesson() -> None:
    day = lived(a_course("bed"), start(), 1)[1]
    assert lesson_of(day, (), {}) is None


def test_a_step_taken_from_the_catalogue_keeps_the_lessons_it_has_there() -> None:
    offered = a_step("plants", 3)
    own, other = a_step("plants"), a_step("attic")
    assert lessons_of(own, {"plants": offered}) == offered.lessons
    assert lessons_of(other, {"plants": offered}) == ()
    assert lessons_of(a_step("plants", 1), {"plants": offered})[0].title == "plants 1"
    added = [*start(), row(1, "add", "plants", '{"title": "Plants", "waits": false}'), row(1, "kept", "bed")]
    assert titles(added, 2, a_course("bed"), {"plants": offered})[1] == "plants 1"


def test_the_greeting_that_fits_the_absence_best_is_taken_and_without_one_there_is_no_lesson() -> None:
    rows = [*start(), row(1, "kept", "bed"), row(9, "kept", "bed")]
    back = lived(a_course("bed"), rows, 9)[9]
    greetings = (text("return", 1), text("return", 1, from_days=1), text("return", 1, from_days=90))
    chosen = lesson_of(back, greetings, {})
    assert chosen is not None
    assert chosen.lesson == greetings[1].lessons[0]
    assert lesson_of(back, greetings[2:], {}) is None
