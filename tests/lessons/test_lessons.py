"""What ships in `lessons/`: enough of it, in the lengths that read well."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

import pytest

from coach.coaching.folder_check import check
from coach.coaching.lessons_folder import shipped_lessons
from coach.coaching.library import FolderLibrary
from coach.course.check import FEWEST_WORDS, MOST_WORDS, warnings
from coach.course.model import Part
from coach.course.reader import load_course, read_catalogue, read_cautions, read_course, read_texts
from coach.course.recurrence import weekdays

if TYPE_CHECKING:
    from coach.course.model import Lesson, Step

LESSONS = shipped_lessons()
COURSE = load_course(LESSONS / "three-weeks")
CATALOGUE = read_catalogue(LESSONS / "catalogue")
TEXTS = [text for folder in ("returning", "steady") for text in read_texts(LESSONS / folder)]
WAITING = [step for step in COURSE.steps if step.waits]
WEEKLY = [step for step in COURSE.steps if not step.waits]
LINED = [step for step in WEEKLY if step.lines]
WEEK = {"MO", "TU", "WE", "TH", "FR", "SA", "SU"}
MOST_LESSONS = 64
"""The most lessons of steps: one a day, begun within the ramp, they have all come well before day 90."""


def lessons_for(when: str) -> list[Lesson]:
    return [lesson for text in TEXTS if text.when == when for lesson in text.lessons]


def every_lesson() -> list[tuple[str, Lesson]]:
    of_steps = [(step.id, lesson) for step in (*COURSE.steps, *CATALOGUE) for lesson in step.lessons]
    return of_steps + [(text.when, lesson) for text in TEXTS for lesson in text.lessons]


@pytest.mark.parametrize(
    ("place", "lesson"), every_lesson(), ids=[f"{place}: {lesson.title}" for place, lesson in every_lesson()]
)
def test_a_lesson_has_40_to_150_words(place: str, lesson: Lesson) -> None:
    assert FEWEST_WORDS == 40
    assert MOST_WORDS == 150
    assert FEWEST_WORDS <= len(lesson.markdown.split()) <= MOST_WORDS, place


def test_the_course_has_seven_waiting_daily_steps_and_six_weekly_ones() -> None:
    assert len(WAITING) == 7
    assert {step.repeats for step in WAITING} == {"FREQ=DAILY"}
    assert len(WEEKLY) == 6
    assert all(step.repeats.startswith("FREQ=WEEKLY;BYDAY=") for step in WEEKLY)


def test_the_summary_tells_how_many_there_are() -> None:
    assert COURSE.title == "Seven small habits"
    assert "Seven small daily habits" in COURSE.summary
    assert "six weekly jobs" in COURSE.summary
    assert "three weeks, or four at the gentle pace" in COURSE.summary


def test_every_waiting_step_settles_at_three_of_four() -> None:
    assert {(step.settles.kept, step.settles.of) for step in WAITING} == {(3, 4)}


def test_the_graph_has_four_or_more_roots_joins_and_a_choice() -> None:
    assert len(COURSE.roots) >= 4
    assert any(len(step.after) >= 2 for step in COURSE.steps)
    assert any(len(step.after_any) >= 2 for step in COURSE.steps)
    assert {step.slot for step in WAITING} == {"morning", "anytime", "evening"}


def test_a_branch_leads_through_the_morning_and_another_through_the_evening() -> None:
    """A step of the evening comes after one of the evening; one comes after the morning's root."""
    slots = {step.id: step.slot for step in COURSE.steps}
    links = {(slots[before], step.slot) for step in WAITING for before in step.after}
    assert ("evening", "evening") in links
    assert any(before == "morning" for before, _ in links)


def test_a_daily_step_has_five_to_seven_lessons_and_a_weekly_one_three_to_five() -> None:
    assert {len(step.lessons) for step in WAITING} == {5, 6, 7}
    assert {len(step.lessons) for step in WEEKLY} == {3, 4, 5}


def test_one_lesson_a_day_leaves_room_for_all_of_them_within_ninety_days() -> None:
    assert sum(len(step.lessons) for step in COURSE.steps) <= MOST_LESSONS


@pytest.mark.parametrize(
    "step", [*COURSE.steps, *CATALOGUE], ids=[step.id for step in (*COURSE.steps, *CATALOGUE)]
)
def test_every_step_has_a_lesson_a_small_version_minutes_a_cue_and_a_why(step: Step) -> None:
    assert step.lessons
    assert step.small
    assert step.cue
    assert step.why
    assert 1 <= step.minutes <= 60


def test_monday_and_sunday_stay_free_of_weekly_jobs() -> None:
    taken = {day for step in WEEKLY for day in weekdays(step.repeats) or ()}
    assert WEEK - taken == {"MO", "SU"}


@pytest.mark.parametrize("step", LINED, ids=[step.id for step in LINED])
def test_a_weekly_job_has_lines_of_unequal_length_that_add_up(step: Step) -> None:
    minutes = [line.minutes for line in step.lines]
    assert sum(minutes) == step.minutes == step.stop_after
    assert len(set(minutes)) >= 3


def test_area_time_has_two_sittings_and_takes_its_lines_from_the_area() -> None:
    (area_time,) = (step for step in WEEKLY if not step.lines)
    assert area_time.works_in is Part.AREAS
    assert (area_time.minutes, len(weekdays(area_time.repeats) or ())) == (20, 2)


def test_no_weekly_job_takes_as_long_as_an_hour() -> None:
    assert [step.id for step in WEEKLY if step.minutes >= 60] == []


def test_the_catalogue_offers_at_least_25_steps_nobody_has_yet() -> None:
    assert len(CATALOGUE) >= 25
    assert not {step.id for step in CATALOGUE} & {step.id for step in COURSE.steps}
    assert {"water", "walk", "ten-minute-sort"} <= {step.id for step in CATALOGUE}


def test_the_daily_steps_that_are_no_longer_in_the_course_are_in_the_catalogue() -> None:
    former = {
        "dishes-away", "clear-surface", "calendar-look", "bathroom-wiped", "things-by-door", "clothes-out",
    }  # fmt: skip
    assert former <= {step.id for step in CATALOGUE}


def test_a_step_of_the_catalogue_needs_nothing_before_it() -> None:
    assert all(step.is_root for step in CATALOGUE)


def test_steady_lessons_last_longer_than_a_month_without_a_repeat() -> None:
    steady = lessons_for("steady")
    assert len(steady) >= 32
    assert len({lesson.title for lesson in steady}) == len(steady)


def test_no_two_lessons_have_the_same_text() -> None:
    texts = [lesson.markdown for _, lesson in every_lesson()]
    assert len(set(texts)) == len(texts)


def test_a_return_is_met_by_its_length_from_the_shortest_lapse_on() -> None:
    lengths = [text.from_days or 0 for text in TEXTS if text.when == "return" and not text.after_pause]
    assert min(lengths) <= COURSE.lapse_after
    assert len(lengths) >= 5
    assert all(shorter < longer for shorter, longer in pairwise(sorted(lengths)))
    assert any(text.after_pause and (text.from_days or 0) <= COURSE.lapse_after for text in TEXTS)


@pytest.mark.parametrize("when", ["rebuilding", "missed", "paused", "return"])
def test_there_are_several_lessons_for_every_other_kind_of_day(when: str) -> None:
    assert len(lessons_for(when)) >= 2


def test_the_three_weeks_are_presented_as_an_introduction() -> None:
    assert "They do not make them automatic" in COURSE.summary
    assert "18 to 254" in COURSE.summary.replace("\n", " ")
    assert "66" in COURSE.summary


def test_a_coach_would_have_nothing_to_look_at_again() -> None:
    reading = read_course(LESSONS / "three-weeks")
    assert reading.faults == ()
    assert warnings(COURSE, read_cautions(LESSONS / "cautions.toml"), reading.drafts) == ()


def test_the_check_of_the_whole_folder_finds_nothing() -> None:
    """Courses, catalogue, texts, starter lists and their cautions are looked at together."""
    found = check(LESSONS)
    assert found.courses
    assert (found.faults, found.doubts) == ((), ())


def test_the_shipped_folder_can_be_served() -> None:
    library = FolderLibrary(LESSONS)
    assert library.default == "three-weeks"
    assert library.course("three-weeks") == COURSE
