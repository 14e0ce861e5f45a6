"""However a log is folded, it gives the same standing (rules §6, third to fifth line)."""

from __future__ import annotations

import json
from datetime import date, timedelta
from typing import TYPE_CHECKING

from hypothesis import given
from hypothesis import strategies as st

from coach.progress.closing import close_day
from coach.progress.days import following
from coach.progress.journal import Version, journal
from coach.progress.opening import open_day
from coach.progress.replay import begin, close_through, each_day, replay
from coach.progress.standing import Standing, standing_of
from coach.progress.state_form import state_json, state_of_values
from property.as_tables import as_course, as_rows
from property.log_strategies import Case, cases, choices, stray_marks
from property.plain_log import MARKS

if TYPE_CHECKING:
    from coach.progress.log import Row


def all_days(case: Case, rows: list[Row] | None = None) -> list[Standing]:
    return list(each_day(as_course(case.course), as_rows(case.rows) if rows is None else rows, case.until))


@given(cases(), st.data())
def test_a_standing_is_the_same_whatever_day_it_is_computed_on(case: Case, data: st.DataObject) -> None:
    course, rows = as_course(case.course), as_rows(case.rows)
    later = data.draw(st.sampled_from(all_days(case)))
    known = [row for row in rows if row.date <= later.on]
    assert replay(course, rows, later.on) == later
    assert replay(course, known, later.on) == later


@given(cases(), st.data())
def test_folding_on_from_a_saved_standing_gives_the_same(case: Case, data: st.DataObject) -> None:
    course, rows, days = as_course(case.course), as_rows(case.rows), all_days(case)
    through = data.draw(st.sampled_from(days)).on
    first = journal([Version(date.min, course)], rows)
    state = begin(first)
    close_through(state, first, through)
    saved, state = state, state_of_values(json.loads(state_json(state)), course)
    assert state == saved
    book = journal([Version(date.min, course)], [row for row in rows if row.date > through])
    continued = []
    while (day := following(state.through or through, state.zone)) <= case.until:
        opening = open_day(state, book, day)
        continued.append(standing_of(state, opening))
        close_day(state, opening)
    assert continued == [standing for standing in days if standing.on > through]


@given(cases(), st.data())
def test_looking_at_a_copy_of_a_state_leaves_the_state_alone(case: Case, data: st.DataObject) -> None:
    course, rows = as_course(case.course), as_rows(case.rows)
    book = journal([Version(date.min, course)], rows)
    state = begin(book)
    close_through(state, book, data.draw(st.sampled_from(all_days(case))).on)
    before = state_json(state)
    close_through(state.copy(), book, case.until + timedelta(days=30))
    assert state_json(state) == before


@given(cases(), st.data())
def test_rows_appended_for_a_date_never_change_an_earlier_opening(case: Case, data: st.DataObject) -> None:
    before = all_days(case)
    on = data.draw(st.sampled_from(before)).on
    rows = st.one_of(stray_marks(on, case.course), choices(on, case.course, case.rows))
    appended = data.draw(st.lists(rows, min_size=1, max_size=4))
    after = all_days(case, as_rows([*case.rows, *appended]))
    assert [day for day in after if day.on < on] == [day for day in before if day.on < on]


@given(cases(), st.data())
def test_no_marks_in_any_order_make_the_engine_fail(case: Case, data: st.DataObject) -> None:
    first = min(date.fromisoformat(row[0]) for row in case.rows)
    span = (case.until - first).days + 8
    dates = st.integers(-8, span).map(lambda number: first + timedelta(days=number))
    steps = [step["id"] for step in case.course["steps"]]
    marks = st.builds(
        lambda on, what, step: (on.isoformat(), what, step, ""),
        dates,
        st.sampled_from([*MARKS, "clear"]),
        st.sampled_from([*steps, "nowhere", ""]),
    )
    strewn = data.draw(st.lists(marks, min_size=5, max_size=60))
    lived = [row for row in case.rows if row[1] in {*MARKS, "clear"}]
    decisions = [row for row in case.rows if row not in lived]
    days = all_days(case, as_rows(decisions + data.draw(st.permutations(lived + strewn))))
    assert [day.day for day in days] == sorted({day.day for day in days})
    for day in days:
        check_standing(day)


def check_standing(day: Standing) -> None:
    """What holds on every day of every household."""
    for step in day.steps.values():
        assert 0 <= step.kept <= step.due
        assert 0.0 <= step.slowest <= step.strength <= step.fastest <= 1.0
    active = {name for name, step in day.steps.items() if step.state in {"practising", "settled"}}
    # On a lapsed day the list is the one the household would return to; what rested may be on it.
    assert set(day.checklist) <= (active | set(day.resting) if day.phase == "lapsed" else active)
    assert (day.phase == "rebuilding") == (bool(day.resting) and day.phase not in {"paused", "lapsed"})
