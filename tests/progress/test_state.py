"""The state: followed from one version of a course to the next, copied, and kept as JSON."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest

from coach.progress.journal import Version, journal
from coach.progress.replay import begin, close_through, open_on
from coach.progress.standing import Standing, standing_of
from coach.progress.state_form import state_json, state_of_values
from progress.living import FIRST, a_course, a_step, closed, days, marks, on, row, start

if TYPE_CHECKING:
    from coach.course.model import Course
    from coach.progress.log import Row

OLD = a_course("bed", a_step("cups", after=["bed"]), a_step("door", after=["cups"]))


def stand_across(new: Course, rows: list[Row], since: int, day: int) -> Standing:
    """The standing on a day, where the course became `new` on the day `since`."""
    book = journal([Version(FIRST, OLD), Version(on(since), new)], rows)
    state = begin(book)
    return standing_of(state, open_on(state, book, on(day)))


KEPT = [*start(), *marks("kept", days(1, 9), "bed"), *marks("kept", days(3, 9), "cups")]


def test_days_already_closed_keep_what_they_were() -> None:
    slower = a_course(a_step("bed", settles={"kept": 5, "of": 5}), a_step("cups", after=["bed"]))
    before, after = stand_across(slower, KEPT, 4, 3), stand_across(slower, KEPT, 4, 4)
    assert before.steps["bed"].step.settles.kept == 2
    assert after.steps["bed"].step.settles.kept == 5
    assert after.steps["bed"].settled_on == on(2)


def test_a_step_that_came_into_the_course_stands_in_its_place_and_can_come() -> None:
    new = a_course("bed", a_step("mat", after=["bed"], waits=False), *OLD.steps[1:])
    standing = stand_across(new, KEPT, 4, 4)
    assert list(standing.steps) == ["bed", "mat", "cups", "door"]
    assert standing.introduced == "mat"


def test_a_step_that_vanished_stays_with_a_household_that_has_it() -> None:
    standing = stand_across(a_course("bed"), KEPT, 4, 5)
    assert list(standing.steps) == ["bed", "cups"]
    assert standing.checklist == ("bed", "cups")
    assert standing.steps["cups"].own is False


def test_steps_that_vanished_stand_before_those_of_their_own() -> None:
    rows = [*KEPT, row(2, "add", "plants", '{"title": "Plants"}'), row(2, "add", "post", '{"title": "Post"}')]
    versions = [Version(FIRST, OLD), Version(on(4), a_course("mat", "cups")), Version(on(5), a_course("mat"))]
    book = journal(versions, rows)
    state = begin(book)
    close_through(state, book, on(5))
    assert list(state.records) == ["mat", "cups", "bed", "plants", "post"]
    assert [record.position for record in state.records.values()] == [0, 1, 2, 3, 4]


def test_a_step_that_vanished_before_it_came_is_gone() -> None:
    assert "door" not in stand_across(a_course("bed"), KEPT, 4, 5).steps


def test_a_step_no_longer_waits_for_one_that_is_gone() -> None:
    new = a_course("bed", a_step("cups", after=["bed"]))
    rows = [*KEPT, row(2, "add", "plants", '{"title": "Plants", "after": ["door"], "waits": false}')]
    assert stand_across(new, rows, 4, 4).introduced == "plants"


def test_the_households_own_changes_outlive_a_new_version() -> None:
    new = a_course(a_step("bed", minutes=30, cue="at noon"), *OLD.steps[1:])
    rows = [*KEPT, row(2, "adjust", "bed", '{"minutes": 1}')]
    step = stand_across(new, rows, 4, 4).steps["bed"].step
    assert (step.minutes, step.cue) == (1, "at noon")


def test_a_step_of_their_own_stays_last_and_becomes_the_courses_if_it_gets_one_of_that_id() -> None:
    rows = [*KEPT, row(2, "add", "plants", '{"title": "Plants"}')]
    new = a_course("bed", a_step("plants", minutes=9), *OLD.steps[1:])
    assert list(stand_across(OLD, rows, 4, 4).steps)[-1] == "plants"
    merged = stand_across(new, rows, 4, 4).steps["plants"]
    assert (merged.own, merged.step.minutes) == (False, 9)


def test_a_saved_state_is_as_long_after_ten_years_as_after_a_month_but_for_its_stretches_away() -> None:
    course = a_course("bed")
    month = len(state_json(closed(course, [*start(), *marks("kept", days(1, 30), "bed")], 30)))
    years = len(state_json(closed(course, [*start(), *marks("kept", days(1, 3650), "bed")], 3650)))
    assert years - month < 20


def test_a_saved_state_can_be_folded_on_across_a_new_version() -> None:
    new = a_course("bed", "mat", *OLD.steps[1:])
    book = journal([Version(FIRST, OLD), Version(on(4), new)], KEPT)
    state = begin(book)
    close_through(state, book, on(3))
    resumed = state_of_values(json.loads(state_json(state)), OLD)
    assert standing_of(resumed, open_on(resumed, book, on(6))) == stand_across(new, KEPT, 4, 6)


def test_a_step_that_vanished_is_written_with_its_definition() -> None:
    book = journal([Version(FIRST, OLD), Version(on(4), a_course("bed"))], KEPT)
    state = begin(book)
    close_through(state, book, on(6))
    assert state_of_values(json.loads(state_json(state)), a_course("bed")).records["cups"].step.after == (
        "bed",
    )


DECIDED = [
    row(2, "adjust", "bed", '{"minutes": 1}'),
    row(2, "set-aside", "door"),
    row(3, "next", "cups"),
    row(3, "minutes", value="20"),
    row(3, "zone", value="Europe/Lisbon"),
    row(3, "day-starts", value="04:30"),
]


@pytest.mark.parametrize(
    ("rows", "day"),
    [
        ([], 9),
        ([row(10, "pause")], 12),
        ([row(10, "pause", value=on(13).isoformat())], 12),
        ([], 25),  # a lapse
        ([row(18, "resume", value="one")], 18),  # cups rest
    ],
)
def test_a_saved_state_is_read_back_with_all_it_holds(rows: list[Row], day: int) -> None:
    state = closed(OLD, [*KEPT, *DECIDED, *rows], day)
    assert state_of_values(json.loads(state_json(state)), OLD) == state


def test_a_step_the_course_has_is_written_without_its_definition() -> None:
    assert "lessons" not in state_json(closed(OLD, KEPT, 3))
