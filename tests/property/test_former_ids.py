"""A log that names steps by their former ids stands as one that names them by their own (rules §4)."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hypothesis import given
from hypothesis import strategies as st

from coach.progress.replay import each_day
from coach.progress.standing import replay_json
from property.as_tables import as_course, as_rows
from property.course_strategies import former_ids
from property.log_strategies import Case, cases
from property.second_reading import standings

if TYPE_CHECKING:
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
