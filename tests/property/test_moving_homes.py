"""Whatever was logged and planned, by whomever: a home that moved stands where it stood, on every day."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, time, timedelta
from typing import TYPE_CHECKING

from hypothesis import given, settings
from hypothesis import strategies as st

from coach.course.jsonform import course_json
from coach.ground.plan_rows import PlannedRow, PlanRow
from coach.ground.ports import CourseVersion, Household
from coach.ground.rows import WrittenRow
from coach.household import adopting, leaving
from coach.household.data import home_of
from coach.progress.csvform import read_log, write_log
from coach.progress.log_check import check_log
from coach.progress.replay import each_day
from habits.house import House
from property.as_tables import as_course, as_rows
from property.log_strategies import Case, cases

if TYPE_CHECKING:
    from coach.course.model import Course
    from coach.ground.ports import Reading
    from coach.progress.log import Row

AT = datetime(2027, 1, 4, 8, 30, tzinfo=UTC)
HERE, THERE = "here", "there"

texts = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"), max_size=8)
people = st.sampled_from(["", "p-1", "p-2", "gone"])
plans = st.lists(
    st.builds(
        PlannedRow,
        st.builds(PlanRow, st.dates(), st.sampled_from(["dinner", "todo", "é"]), texts, texts),
        st.just(AT),
        people,
    ),
    max_size=8,
)


def taken_by_a_use_case(case: Case, course: Course) -> list[Row]:
    """The rows of a log that a household can have written: a stray mark of no step is refused as it comes."""
    rows = as_rows(case.rows)
    while True:
        faults = check_log(read_log(write_log(rows)), course, case.until)
        if not faults:
            return rows
        wrong = {(fault.line or 0) - 2 for fault in faults}
        rows = [row for place, row in enumerate(rows) if place not in wrong]


def everything(reading: Reading) -> list[object]:
    return [list(reading.written_rows()), list(reading.planned_rows()), list(reading.plan_all())]


@settings(max_examples=max(1, settings().max_examples // 2))
@given(cases(), plans, st.data())
def test_every_day_of_any_log_is_the_same_after_the_move(
    case: Case, plan: list[PlannedRow], data: st.DataObject
) -> None:
    course = replace(as_course(case.course), digest="drawn")
    rows = taken_by_a_use_case(case, course)
    house = House(course)
    house.now = datetime.combine(case.until, time(12), UTC) + timedelta(days=1)
    pens = data.draw(
        st.lists(st.tuples(people, st.none() | st.just(AT)), min_size=len(rows), max_size=len(rows))
    )
    log = [
        WrittenRow(row, AT + timedelta(seconds=place), by, tapped, imported=not by)
        for place, (row, (by, tapped)) in enumerate(zip(rows, pens, strict=True))
    ]
    home = home_of(house.context, HERE, rows, "three-weeks")
    with house.store.writing(HERE) as writing:
        writing.take_in(home, log, plan)
        writing.add_course(CourseVersion(min(row.date for row in rows), course.digest), course_json(course))
        before = everything(writing)
    adopting.adopt(house.context, THERE, leaving.take_along(house.context, HERE))
    with house.store.reading(THERE) as reading:
        assert everything(reading) == before
        there = [one.row for one in reading.written_rows()]
        assert replace(moved(reading), id=HERE, version=0) == replace(home, version=0)
    assert list(each_day(course, there, case.until)) == list(each_day(course, rows, case.until))


def moved(reading: Reading) -> Household:
    found = reading.household()
    assert found is not None
    return found
