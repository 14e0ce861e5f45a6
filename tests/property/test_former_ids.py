"""A log that names steps by their former ids stands as one that names them by their own (rules §4)."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING, Any

from hypothesis import assume, given
from hypothesis import strategies as st

from coach.progress.closing import close_day
from coach.progress.days import following
from coach.progress.journal import Version, journal
from coach.progress.opening import open_day
from coach.progress.replay import begin, close_through, each_day
from coach.progress.standing import replay_json, standing_of
from coach.progress.state_form import state_json, state_of_values
from property.as_tables import as_course, as_rows
from property.course_strategies import former_ids
from property.log_strategies import Case, cases
from property.second_reading import standings

if TYPE_CHECKING:
    from coach.course.model import Course
    from coach.progress.journal import Journal
    from coach.progress.state import State
    from property.plain_log import Row


def renamed(case: Case, data: st.DataObject) -> list[Row]:
    """The log with some of the names of the course's steps replaced by former ones."""
    known = {step["id"] for step in case.course["steps"]}
    places = data.draw(st.lists(st.integers(0, 2), min_size=len(case.rows), max_size=len(case.rows)))
    return [
        (on, what, (name, *former_ids(name))[place] if name in known and what != "add" else name, value)
        for (on, what, name, value), place in zip(case.rows, places, strict=True)
    ]


@given(cases(), st.data())
def test_a_log_rewritten_with_former_ids_gives_the_same_standings(case: Case, data: st.DataObject) -> None:
    rows, course = renamed(case, data), as_course(case.course)
    plain = list(each_day(course, as_rows(case.rows), case.until))
    assert list(each_day(course, as_rows(rows), case.until)) == plain


@given(cases(), st.data())
def test_both_readings_understand_former_ids(case: Case, data: st.DataObject) -> None:
    rows = renamed(case, data)
    ours = [replay_json(day) for day in each_day(as_course(case.course), as_rows(rows), case.until)]
    theirs = standings(case.course, rows, case.until)
    assert [(day["checklist"], day["introduced"], day["lesson"], day["phase"]) for day in ours] == [
        (day["checklist"], day["introduced"], day["lesson"], day["phase"]) for day in theirs
    ]


NOW = "-now"


def with_new_ids(course: Course) -> Course:
    """The course with another id for each of its steps."""
    return replace(
        course,
        steps=tuple(
            replace(
                step,
                id=f"{step.id}{NOW}",
                formerly=(step.id, *step.formerly),
                after=tuple(f"{name}{NOW}" for name in step.after),
                after_any=tuple(f"{name}{NOW}" for name in step.after_any),
            )
            for step in course.steps
        ),
    )


def told(state: State, book: Journal, until: date) -> list[dict[str, Any]]:
    """What is said of every day that is left, by the ids that the steps had at first."""
    found = []
    while (day := following(state.through, state.zone) if state.through else state.started) <= until:
        course = book.course_on(day)
        if course is not state.course:
            state.follow(course)
        opening = open_day(state, book, day)
        text = json.dumps(replay_json(standing_of(state, opening)))
        found.append(json.loads(text.replace(f'{NOW}"', '"')))
        close_day(state, opening)
    return found


@given(cases(), st.data())
def test_a_version_that_renames_every_step_changes_nothing_from_its_day_on_whatever_was_saved(
    case: Case, data: st.DataObject
) -> None:
    known = {step["id"] for step in case.course["steps"]}
    # One of the household's own under an id that the course gave up is another step, and rightly so.
    assume(not any(what == "add" and name in known for _, what, name, _ in case.rows))
    course, rows = as_course(case.course), as_rows(case.rows)
    plain = [replay_json(day) for day in each_day(course, rows, case.until)]
    since = date.fromisoformat(data.draw(st.sampled_from(plain))["on"])
    versions = [Version(date.min, course), Version(since, with_new_ids(course))]
    book = journal(versions, rows)
    assert told(begin(book), book, case.until) == json.loads(json.dumps(plain))
    saved = begin(book)
    through = date.fromisoformat(data.draw(st.sampled_from(plain))["on"])
    close_through(saved, book, through)
    again = state_of_values(json.loads(state_json(saved)), book.course_on(through))
    rest = [day for day in plain if day["on"] > through.isoformat()]
    assert told(again, book, case.until) == json.loads(json.dumps(rest))
