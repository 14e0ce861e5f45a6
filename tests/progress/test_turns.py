"""Whose turn the lesson of a day is (rules §8), worked out by the fold itself."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest

from coach.progress.journal import Version, journal
from coach.progress.replay import begin, close_through, open_on
from coach.progress.standing import replay_json, standing_of
from progress.living import a_course, a_step, closed, days, lived, marks, on, opened, row, start

if TYPE_CHECKING:
    from coach.course.model import Course
    from coach.progress.log import Row

COURSE = a_course(
    a_step("bed", 4), a_step("cups", 3, after=["bed"]), a_step("job", 2, waits=False, after=["bed"])
)
PAIR = a_course(a_step("bed", 1), a_step("cups", 1), at_once=2)


def turns(course: Course, rows: list[Row], last: int) -> list[str]:
    """What the lesson of each day is: `bed 2`, or what it is about."""
    return [
        "{} {}".format(*day.lesson) if day.lesson else day.turn.value
        for day in lived(course, rows, last).values()
    ]


def test_a_lesson_of_a_step_comes_a_day_whether_it_is_kept_or_not() -> None:
    rows = [*start(), *marks("kept", [1, 3], "bed"), *marks("missed", [2], "bed")]
    assert turns(COURSE, rows, 3) == ["bed 1", "bed 2", "bed 3"]


def test_the_latest_step_to_come_is_read_first_and_the_others_wait_for_it() -> None:
    rows = [*start(), *marks("kept", days(1, 9), "bed"), *marks("kept", days(3, 9), "cups")]
    rows += marks("kept", days(4, 9), "job")
    assert turns(COURSE, rows, 10) == [
        *("bed 1", "bed 2", "cups 1", "job 1", "job 2", "cups 2", "cups 3", "bed 3", "bed 4", "free")
    ]


def test_a_step_marked_before_its_turn_begins_with_its_first_lesson_that_day() -> None:
    rows = [*start(), row(1, "kept", "bed"), row(2, "kept", "job")]
    assert turns(COURSE, rows, 3)[1:] == ["job 1", "job 2"]


def test_the_step_that_came_by_its_turn_goes_before_one_marked_on_that_day() -> None:
    course = a_course(a_step("bed", 1), a_step("cups", 2), a_step("job", 2, waits=False))
    rows = [*start("cups"), row(1, "kept", "job")]
    assert turns(course, rows, 2)[0] == "cups 1"


def test_of_two_steps_that_came_on_one_day_the_later_in_the_course_is_read_first() -> None:
    bed = a_step("bed", 1, settles={"kept": 9, "of": 9})
    course = a_course(bed, a_step("job", 3, waits=False, after=["bed"]), a_step("cups", 3, after=["bed"]))
    rows = [*start(), *marks("kept", days(1, 5), "bed"), *marks("kept", days(2, 5), "job", "cups")]
    assert turns(course, rows, 5)[1:] == ["cups 1", "cups 2", "cups 3", "job 1"]


def test_a_step_without_lessons_leaves_the_day_it_comes_on_to_others() -> None:
    course = a_course(a_step("bed", 9), a_step("cups", after=["bed"]))
    rows = [*start(), *marks("kept", days(1, 9), "bed")]
    days_ = lived(course, rows, 3)
    assert days_[3].introduced == "cups"
    assert days_[3].lesson == ("bed", 3)


def test_days_away_and_days_that_open_with_resting_steps_use_up_no_lesson() -> None:
    rows = [*start(), *marks("kept", days(1, 2), "bed", "cups"), row(3, "pause", value=on(4).isoformat())]
    course = a_course(a_step("bed", 9), a_step("cups", 9), at_once=2)
    assert turns(course, rows, 5) == ["bed 1", "cups 1", "away", "away", "cups 2"]


def test_the_way_back_uses_up_none_up_to_the_day_the_last_step_comes_back() -> None:
    course = a_course(a_step("bed", 9), a_step("cups", 9), at_once=2)
    rows = [*start(), *marks("kept", days(1, 2), "bed", "cups"), row(11, "resume", value="one")]
    rows += marks("kept", days(11, 13), "bed")
    seen = lived(course, rows, 13)
    assert [seen[day].phase for day in (10, 11, 12, 13)] == ["lapsed", "rebuilding", "steady", "steady"]
    assert turns(course, rows, 13)[8:] == ["cups 7", "away", "away", "away", "cups 8"]


def test_a_step_that_rests_or_is_set_aside_keeps_its_lessons_for_later() -> None:
    course = a_course(a_step("bed", 3), a_step("cups", 3), at_once=2)
    rows = [*start(), *marks("kept", days(1, 9), "bed", "cups")]
    rows += [row(2, "set-aside", "cups"), row(4, "restore", "cups")]
    assert turns(course, rows, 6) == ["bed 1", "bed 2", "bed 3", "cups 1", "cups 2", "cups 3"]


def test_the_day_after_one_all_missed_answers_it_before_any_lesson_is_read_on() -> None:
    course = a_course(a_step("bed", 9), a_step("cups", 9), at_once=2)
    rows = [*start(), *marks("kept", days(1, 9), "bed", "cups"), *marks("missed", [3], "bed", "cups")]
    assert turns(course, rows, 5) == ["bed 1", "cups 1", "cups 2", "missed", "cups 3"]


@pytest.mark.parametrize("missed", [["bed"], ["cups"]])
def test_one_outcome_kept_is_enough_for_the_lessons_to_go_on(missed: list[str]) -> None:
    rows = [*start(), *marks("kept", days(1, 9), "bed", "cups"), *marks("missed", [5], *missed)]
    assert turns(PAIR, rows, 6)[5] == "free"


def test_one_outcome_alone_is_no_day_all_missed() -> None:
    rows = [*start(), *marks("kept", days(1, 4), "bed"), row(5, "missed", "bed")]
    assert turns(a_course(a_step("bed", 1)), rows, 6)[5] == "free"


@pytest.mark.parametrize(("second", "answered"), [(17, False), (18, False), (19, True)])
def test_a_day_all_missed_is_answered_at_most_once_in_fourteen_days(second: int, answered: bool) -> None:  # noqa: FBT001  a parameter
    rows = [*start(), *marks("kept", days(1, 40), "bed", "cups")]
    rows += marks("missed", [5, second], "bed", "cups")
    found = turns(PAIR, rows, second + 1)
    assert found[5] == "missed"
    assert (found[second] == "missed") is answered


def test_a_pause_between_answers_nothing_and_no_lesson_is_answered_twice() -> None:
    rows = [*start(), *marks("kept", days(1, 4), "bed", "cups"), *marks("missed", [5], "bed", "cups")]
    rows += [row(6, "pause", value=on(7).isoformat())]
    assert turns(PAIR, rows, 8)[5:] == ["away", "away", "free"]


def test_what_was_read_stands_when_a_version_changes_a_steps_lessons() -> None:
    rows = [*start(), *marks("kept", days(1, 9), "bed")]
    longer, shorter = a_course(a_step("bed", 6)), a_course(a_step("bed", 1))
    for later, expected in ((longer, ("bed", 4)), (shorter, None)):
        book = journal([Version(date.min, a_course(a_step("bed", 3))), Version(on(4), later)], rows)
        state = begin(book)
        close_through(state, book, on(3))
        assert standing_of(state, open_on(state, book, on(4))).lesson == expected


def test_only_the_close_of_a_day_counts_its_lesson_as_read() -> None:
    rows = [*start(), *marks("kept", days(1, 9), "bed")]
    state, opening = opened(COURSE, rows, 2)
    assert (opening.lesson, state.records["bed"].read) == (("bed", 2), 1)
    assert closed(COURSE, rows, 2).records["bed"].read == 2


def test_the_replay_names_the_lesson_beside_what_came_in() -> None:
    first = lived(COURSE, start(), 1)[1]
    assert replay_json(first)["lesson"] == ["bed", 1]
    assert list(replay_json(first))[3:5] == ["introduced", "lesson"]
    assert replay_json(lived(a_course("bed"), start(), 1)[1])["lesson"] is None
