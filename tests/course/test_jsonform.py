"""A course as JSON and back."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.course.definition import step_from
from coach.course.jsonform import course_from_json, course_json, step_table
from coach.course.model import Course, Hold, Lesson, Line, Return, Settles, Slot, Step, Strength
from coach.course.reader import load_course
from coach.errors import Malformed

WORDS = st.text("abc ü“\n#+\"'\\").filter(str.strip)
NAMES = st.lists(st.sampled_from(["a", "b-2", "c"]), max_size=3).map(tuple)
WHOLE = st.integers(1, 1000)
SHARE = st.floats(0, 1)
LESSONS = st.lists(st.builds(Lesson, WORDS, st.text()), max_size=3).map(tuple)
RULES = st.sampled_from(["FREQ=DAILY", "FREQ=WEEKLY;BYDAY=SA", "FREQ=MONTHLY;BYDAY=1FR"])
SETTLES = st.tuples(WHOLE, WHOLE).map(lambda pair: Settles(min(pair), max(pair)))
DAILY_STEPS = st.builds(
    Step,
    id=st.sampled_from(["a", "b-2", "c"]),
    title=WORDS,
    why=st.none() | WORDS,
    cue=st.none() | WORDS,
    small=st.none() | WORDS,
    slot=st.sampled_from(Slot),
    minutes=st.integers(0, 1440),
    repeats=RULES,
    after=NAMES,
    after_any=NAMES,
    settles=SETTLES,
    waits=st.booleans(),
    caution=st.none() | WORDS,
    lessons=LESSONS,
)
JOBS = st.builds(
    Step,
    id=st.just("job"),
    title=WORDS,
    repeats=st.just("FREQ=WEEKLY"),
    lines=st.lists(st.builds(Line, WORDS, st.integers(0, 1440)), max_size=3).map(tuple),
    stop_after=st.none() | st.integers(1, 1440),
)
COURSES = st.builds(
    Course,
    title=WORDS,
    steps=st.lists(DAILY_STEPS | JOBS, max_size=4).map(tuple),
    summary=st.text(),
    ramp_days=WHOLE,
    at_once=WHOLE,
    lapse_after=WHOLE,
    hold=st.builds(Hold, SHARE, WHOLE),
    returning=st.builds(Return, WHOLE | st.floats(0.1, 100), SHARE),
    strength=st.builds(Strength, WHOLE, WHOLE),
    paces=st.dictionaries(WORDS, st.integers(0, 9)),
    digest=st.text("0123456789abcdef"),
)


@given(COURSES)
def test_a_course_comes_back_unchanged(course: Course) -> None:
    assert course_from_json(course_json(course)) == course


@given(DAILY_STEPS | JOBS)
def test_a_steps_table_is_the_keys_of_its_file(step: Step) -> None:
    table = json.loads(json.dumps(step_table(step)))
    assert step_from(step.id, table, step.lessons) == step


def test_the_three_weeks_come_back_unchanged() -> None:
    course = load_course(Path(__file__).parents[2] / "lessons" / "three-weeks")
    assert course_from_json(course_json(course)) == course


@pytest.mark.parametrize("text", ["", "[]", "{}", '{"title": "x"}', "3", "null", "[" * 10_000])
def test_another_text_is_refused(text: str) -> None:
    with pytest.raises(Malformed):
        course_from_json(text)
