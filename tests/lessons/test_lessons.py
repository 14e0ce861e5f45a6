"""What ships in `lessons/`: enough of it, in the lengths that read well."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

import pytest

from coach.coaching.folder_check import check
from coach.coaching.lessons_folder import shipped_lessons
from coach.coaching.library import FolderLibrary
from coach.course.check import FEWEST_WORDS, MOST_WORDS, warnings
from coach.course.reader import load_course, read_catalogue, read_cautions, read_course, read_texts
from coach.course.recurrence import weekdays

if TYPE_CHECKING:
    from coach.course.model import Lesson, Step

LESSONS = shipped_lessons()
COURSE = load_course(LESSONS / "three-weeks")
CATALOGUE = read_catalogue(LESSONS / "catalogue")
TEXTS = [text for folder in ("returning", "steady") for text in read_texts(LESSONS / folder)]
WAITING = [step for step in COURSE.steps if step.waits]
RARER = [step for step in COURSE.steps if not step.waits]
WEEK = {"MO", "TU", "WE", "TH", "FR", "SA", "SU"}


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


def test_the_course_has_ten_waiting_daily_steps_and_four_to_six_rarer_ones() -> None:
    assert len(WAITING) == 10
    assert {step.repeats for step in WAITING} == {"FREQ=DAILY"}
    assert 4 <= len(RARER) <= 6
    assert all(step.repeats.startswith(("FREQ=WEEKLY", "FREQ=MONTHLY")) for step in RARER)


def test_one_waiting_step_settles_at_three_of_four_and_the_others_at_two_of_three() -> None:
    rules = sorted((step.settles.kept, step.settles.of) for step in WAITING)
    assert rules == [(2, 3)] * 9 + [(3, 4)]


def test_the_graph_has_several_roots_joins_and_a_choice() -> None:
    assert len(COURSE.roots) >= 3
    assert any(len(step.after) >= 2 for step in COURSE.steps)
    assert any(len(step.after_any) >= 2 for step in COURSE.steps)
    assert {step.slot for step in WAITING} == {"morning", "anytime", "evening"}


@pytest.mark.parametrize("step", WAITING, ids=[step.id for step in WAITING])
def test_a_waiting_step_has_at_least_four_lessons(step: Step) -> None:
    assert len(step.lessons) >= 4


@pytest.mark.parametrize(
    "step", [*COURSE.steps, *CATALOGUE], ids=[step.id for step in (*COURSE.steps, *CATALOGUE)]
)
def test_every_step_has_a_lesson_a_small_version_minutes_a_cue_and_a_why(step: Step) -> None:
    assert step.lessons
    assert step.small
    assert step.cue
    assert step.why
    assert 1 <= step.minutes <= 60


def test_at_least_two_days_of_the_week_stay_free_of_weekly_jobs() -> None:
    taken = {day for step in RARER for day in weekdays(step.repeats.replace(";INTERVAL=2", "")) or WEEK}
    assert len(WEEK - taken) >= 2


def test_the_once_over_is_six_jobs_of_ten_minutes() -> None:
    """Common practice, no source: six jobs of ten minutes make the weekly hour for the main rooms."""
    once_over = COURSE.step("once-over")
    assert once_over is not None
    assert [line.minutes for line in once_over.lines] == [10] * 6
    assert once_over.minutes == once_over.stop_after == 60


def test_desk_work_takes_a_quarter_of_an_hour_and_the_surface_two_minutes() -> None:
    """Common practice, no source: desk work 15 minutes a week; a surface that collects clutter 2 a day."""
    minutes = {step.id: step.minutes for step in COURSE.steps}
    assert (minutes["desk-work"], minutes["clear-surface"], minutes["area-hour"]) == (15, 2, 60)


def test_the_catalogue_offers_at_least_25_steps_nobody_has_yet() -> None:
    assert len(CATALOGUE) >= 25
    assert not {step.id for step in CATALOGUE} & {step.id for step in COURSE.steps}
    assert {"water", "walk", "ten-minute-sort"} <= {step.id for step in CATALOGUE}


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
