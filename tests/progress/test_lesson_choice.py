"""Which one lesson a day gets."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from coach.course.model import Course, Lesson, Step
from coach.course.texts import TextFile
from coach.progress.lessons import lesson_of, lessons_of, lessons_so_far
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


def test_a_steps_lessons_are_told_with_their_step_and_number() -> None:
    days_ = lived(COURSE, [*start(), row(1, "kept", "bed")], 2)
    found = [lesson_of(day, TEXTS, {}) for day in days_.values()]
    assert [chosen and (chosen.step, chosen.number, chosen.lesson.title) for chosen in found] == [
        ("bed", 1, "bed 1"),
        ("bed", 2, "bed 2"),
    ]


def test_texts_of_no_step_have_no_number() -> None:
    chosen = lesson_of(lived(a_course("bed"), start(), 1)[1], TEXTS, {})
    assert chosen is not None
    assert (chosen.step, chosen.number) == (None, None)


def test_once_the_steps_are_read_the_texts_of_the_steady_time_come_in_turn() -> None:
    rows = [*start(), *marks("kept", days(1, 9), "bed")]
    found = titles(rows, 6, a_course(a_step("bed", 2)))
    assert found == ["bed 1", "bed 2", *(f"steady {number} of 5" for number in range(1, 5))]


def test_each_answer_to_a_day_all_missed_is_another_one() -> None:
    course = a_course("bed", "cups", at_once=2)
    rows = [*start(), *marks("kept", days(1, 60), "bed", "cups"), *marks("missed", [9, 30], "bed", "cups")]
    found = titles(rows, 40, course)
    assert (found[9], found[30]) == ("missed 1 of 4", "missed 2 of 4")
    assert found[10].startswith("steady")


def test_without_texts_for_it_the_day_after_a_day_missed_reads_like_any_other() -> None:
    steady = text("steady", 5)
    rows = [*start(), *marks("kept", [1, 2], "bed", "cups"), *marks("missed", [3], "bed", "cups")]
    day = lived(a_course("bed", "cups", at_once=2), rows, 4)[4]
    assert day.turn == "missed"
    chosen = lesson_of(day, (steady,), {})
    assert chosen is not None
    assert chosen.lesson == steady.lessons[3]


def test_away_and_on_the_way_back_the_lesson_is_about_that() -> None:
    bed = a_course("bed", "cups", at_once=2)
    rows = [
        *start(),
        *marks("kept", days(1, 6), "bed", "cups"),
        row(15, "resume", value="one"),
        row(17, "pause"),
    ]
    read = titles(rows, 17, bed)
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


def test_on_the_day_the_last_resting_step_comes_back_the_lesson_is_about_that_still() -> None:
    bed = a_course("bed", "cups", at_once=2)
    rows = [*start(), *marks("kept", days(1, 6), "bed", "cups"), row(15, "resume", value="one")]
    rows += marks("kept", days(15, 20), "bed")
    back = lived(bed, rows, 17)
    assert [back[day].phase for day in (15, 16, 17)] == ["rebuilding", "steady", "steady"]
    assert [title.split()[0] for title in titles(rows, 17, bed)[14:]] == ["return-7", "rebuilding", "steady"]


def test_nobody_reads_a_steady_text_twice_within_a_round() -> None:
    rows = [*start(), *marks("kept", days(1, 80), "bed")]
    rows += [row(20, "pause", value=on(24).isoformat())]
    steady = [title for title in titles(rows, 80, a_course("bed")) if title.startswith("steady")]
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


def added(day: int, *steps: str) -> list[Row]:
    """Steps taken from the catalogue and marked on that day."""
    rows = [row(day, "add", step, f'{{"title": "{step}", "waits": false}}') for step in steps]
    return [*rows, *marks("kept", [day], *steps)]


OFFERED = {step.id: step for step in (a_step("plants", 3), a_step("attic", 2), a_step("walk", 1))}


def test_lessons_of_the_catalogue_have_their_turn_once_those_of_the_course_are_read() -> None:
    rows = [*start(), *marks("kept", days(1, 9), "bed"), *added(2, "plants")]
    found = titles(rows, 7, a_course(a_step("bed", 3)), OFFERED)
    assert found[:6] == ["bed 1", "bed 2", "bed 3", "plants 1", "plants 2", "plants 3"]
    assert found[6].startswith("steady")


def test_of_several_the_one_that_came_latest_is_read_to_its_end_first() -> None:
    rows = [*start(), *marks("kept", days(1, 9), "bed"), *added(2, "plants"), *added(3, "walk", "attic")]
    found = titles(rows, 8, a_course("bed"), OFFERED)
    assert found[1:7] == ["plants 1", "attic 1", "attic 2", "walk 1", "plants 2", "plants 3"]
    assert found[7].startswith("steady")


def test_the_turn_of_a_step_set_aside_goes_to_a_steady_text() -> None:
    rows = [*start(), *marks("kept", days(1, 9), "bed"), *added(2, "plants")]
    rows += [row(3, "set-aside", "plants"), row(4, "restore", "plants")]
    found = titles(rows, 5, a_course("bed"), OFFERED)
    assert (found[1], found[2].split()[0], found[3]) == ("plants 1", "steady", "plants 3")
    assert found[4].startswith("steady")


def test_a_page_shows_what_was_read_of_a_step_and_todays_and_all_of_one_from_the_catalogue() -> None:
    rows = [*start(), *marks("kept", days(1, 9), "bed"), *added(3, "plants")]
    for day, standing in lived(a_course(a_step("bed", 4)), rows, 5).items():
        so_far = {
            name: [chosen.number for chosen in lessons_so_far(standing, place, OFFERED)]
            for name, place in standing.steps.items()
        }
        assert so_far["bed"] == [*range(1, min(day, 4) + 1)]
        assert so_far.get("plants", []) == ([1, 2, 3] if day >= 3 else [])


def test_a_step_ahead_shows_no_lesson() -> None:
    day = lived(COURSE, start(), 1)[1]
    assert lessons_so_far(day, day.steps["cups"], {}) == []


def test_the_greeting_that_fits_the_absence_best_is_taken_and_without_one_there_is_no_lesson() -> None:
    rows = [*start(), row(1, "kept", "bed"), row(9, "kept", "bed")]
    back = lived(a_course("bed"), rows, 9)[9]
    greetings = (text("return", 1), text("return", 1, from_days=1), text("return", 1, from_days=90))
    chosen = lesson_of(back, greetings, {})
    assert chosen is not None
    assert chosen.lesson == greetings[1].lessons[0]
    assert lesson_of(back, greetings[2:], {}) is None
