"""Steps that had another id in an earlier version of the course (rules §3 `formerly`)."""

from __future__ import annotations

import json
from datetime import date
from typing import TYPE_CHECKING

import pytest

from coach.progress.csvform import read_log, write_log
from coach.progress.journal import Version, journal
from coach.progress.log_check import check_log
from coach.progress.replay import begin, close_through, open_on
from coach.progress.standing import replay_json, standing_of
from coach.progress.state_form import state_json, state_of_values
from progress.living import a_course, a_step, days, marks, on, opened, row, stand, start

if TYPE_CHECKING:
    from coach.course.model import Course
    from coach.progress.log import Row
    from coach.progress.standing import Standing
    from coach.progress.state import State

OLD = a_course(
    a_step("bed", 3, small="the covers"), a_step("cups", 3, after=["bed"]), a_step("desk", 1, waits=False)
)
NEW = a_course(
    a_step("table", 4, formerly=["tea", "cups"]),
    a_step("bunk", 5, formerly=["bed"]),
    a_step("desk", 1, waits=False),
    a_step("post", 2, after=["bunk", "table"]),
)
MARKED = [*start("bed"), *marks("kept", days(1, 4), "bed"), *marks("kept", days(3, 4), "cups")]


def followed(rows: list[Row], day: int, since: int = 5, *courses: Course) -> tuple[State, Standing]:
    """The state and the standing of a day, of a household whose course has a new version since a day."""
    first, later = courses or (OLD, NEW)
    book = journal([Version(date.min, first), Version(on(since), later)], rows)
    state = begin(book)
    opening = open_on(state, book, on(day))
    return state, standing_of(state, opening)


def test_a_step_goes_on_under_its_new_id_with_all_that_has_happened_to_it() -> None:
    before, _ = followed(MARKED, 4)
    rows = [*MARKED, row(4, "adjust", "bed", '{"minutes": 9}')]
    after, standing = followed(rows, 5)
    was, record = before.records["bed"], after.records["bunk"]
    assert list(after.records) == ["table", "bunk", "desk", "post"]
    assert (record.introduced, record.settled, record.kept) == (on(1), on(2), 4)
    assert record.outcomes[:3] == was.outcomes[:3]
    assert (record.read, record.position, record.step.minutes) == (1, 1, 9)
    assert record.step.title == "The bunk"
    assert standing.steps["table"].introduced_on == on(3)
    assert standing.checklist == ("table", "bunk", "desk", "post")


def test_the_lessons_go_on_where_they_were() -> None:
    rows = [*MARKED, *marks("kept", days(5, 8), "bed")]
    assert [followed(rows, day)[1].lesson for day in range(1, 9)] == [
        *(("bed", 1), ("desk", 1), ("cups", 1), ("cups", 2)),
        *(("post", 1), ("post", 2), ("table", 3), ("table", 4)),
    ]


def test_past_days_keep_the_ids_they_had() -> None:
    _, standing = followed(MARKED, 4)
    assert standing.checklist == ("bed", "cups", "desk")


def test_what_rests_and_what_is_wanted_is_named_anew() -> None:
    rows = [*start("bed"), *marks("kept", days(1, 3), "bed", "cups"), row(12, "resume", value="one")]
    rows += [row(12, "next", "cups")]
    state, standing = followed(rows, 13, 13)
    assert standing.phase == "rebuilding"
    assert set(standing.resting) <= {"bunk", "table", "desk"}
    assert standing.resting == tuple(state.resting)
    assert all(state.records[name].resting for name in state.resting)
    assert standing.wanted == "table"


@pytest.mark.parametrize("what", ["set-aside", "adjust", "next", "kept"])
def test_rows_that_name_a_former_id_mean_the_step(what: str) -> None:
    value = '{"minutes": 9}' if what == "adjust" else ""
    seen = [followed([*MARKED, row(5, what, name, value)], 7)[1] for name in ("cups", "table", "tea")]
    assert seen[0] == seen[1] == seen[2]
    assert seen[0] != followed(MARKED, 7)[1]


def test_a_step_set_aside_under_its_old_id_is_restored_under_the_new() -> None:
    rows = [*MARKED, row(3, "set-aside", "bed"), row(6, "restore", "bunk")]
    assert followed(rows, 5)[1].steps["bunk"].set_aside
    assert not followed(rows, 6)[1].steps["bunk"].set_aside


def test_of_two_ids_of_one_step_the_mark_written_last_counts() -> None:
    for name in ("cups", "table"):
        other = "table" if name == "cups" else "cups"
        rows = [*MARKED, row(5, "kept", name), row(5, "missed", other)]
        assert opened(NEW, [*start("bunk"), *rows[1:]], 5)[1].marks["table"] == "missed"
        taken_back = [*rows, row(5, "clear", name)]
        assert "table" not in opened(NEW, [*start("bunk"), *taken_back[1:]], 5)[1].marks
        again = [*taken_back, row(5, "small", other)]
        assert opened(NEW, [*start("bunk"), *again[1:]], 5)[1].marks["table"] == "small"


def test_a_log_full_of_former_ids_stands_as_one_of_the_new() -> None:
    old = [*MARKED, row(5, "add", "own", '{"title": "Own", "after": ["cups"]}'), row(6, "set-aside", "bed")]
    new = [*start("bunk"), *marks("kept", days(1, 4), "bunk"), *marks("kept", days(3, 4), "table")]
    new += [row(5, "add", "own", '{"title": "Own", "after": ["table"]}'), row(6, "set-aside", "bunk")]
    for day in range(1, 12):
        assert replay_json(stand(NEW, old, day)) == replay_json(stand(NEW, new, day))


def test_a_step_of_the_households_own_is_not_renamed() -> None:
    first = a_course("bed", "lamp")
    rows = [*start(), row(2, "add", "cups", '{"title": "Ours"}'), row(2, "kept", "cups")]
    state, _ = followed(rows, 6, 5, first, NEW)
    assert state.records["cups"].own
    assert state.records["table"].introduced is None
    assert followed([*rows, row(6, "kept", "cups")], 7, 5, first, NEW)[0].records["cups"].kept == 2


def test_what_the_household_has_under_the_new_id_stays() -> None:
    first = a_course("bed", "cups", "table", at_once=3)
    rows = [*start(), *marks("kept", [1, 2], "cups"), *marks("kept", [2], "table")]
    state, _ = followed(rows, 6, 5, first, NEW)
    assert (state.records["table"].introduced, state.records["cups"].introduced) == (on(2), on(1))
    kept = followed([*rows, row(6, "kept", "cups")], 7, 5, first, NEW)[0]
    assert (kept.records["cups"].kept, kept.records["table"].kept) == (3, 1)


def test_a_step_that_only_lay_ahead_under_the_new_id_gives_way() -> None:
    first = a_course("cups", a_step("table", after=["lamp"]), "lamp")
    state, _ = followed([*start(), row(1, "kept", "cups")], 6, 5, first, NEW)
    assert state.records["table"].introduced == on(1)


def test_of_several_steps_made_one_the_first_that_has_come_goes_on() -> None:
    first = a_course("bed", a_step("tea", after=["bed"]), a_step("cups", after=["bed"]))
    rows = [*start(), row(1, "kept", "bed"), row(2, "kept", "cups")]
    state, _ = followed(rows, 3, 3, first, NEW)
    assert state.records["table"].introduced == on(2)
    assert "tea" not in state.records


def test_a_step_of_their_own_comes_after_the_step_under_its_new_id() -> None:
    rows = [*MARKED, row(2, "add", "own", '{"title": "Own", "after": ["cups"], "waits": false}')]
    state, _ = followed(rows, 5)
    assert state.records["own"].base.after == ("table",)


def test_a_step_that_vanished_meanwhile_goes_on_once_its_new_id_is_said() -> None:
    without = a_course("bed", "desk")
    book = journal([Version(date.min, OLD), Version(on(5), without), Version(on(7), NEW)], MARKED)
    state = begin(book)
    close_through(state, book, on(6))
    assert "cups" in state.records
    open_on(state, book, on(8))
    assert state.records["table"].introduced == on(3)
    assert "cups" not in state.records


def test_a_standing_saved_before_the_change_is_folded_on_from() -> None:
    book = journal([Version(date.min, OLD), Version(on(5), NEW)], MARKED)
    state = begin(book)
    close_through(state, book, on(4))
    saved = state_of_values(json.loads(state_json(state)), OLD)
    later = journal([Version(date.min, OLD), Version(on(5), NEW)], [])
    state.wanted = saved.wanted
    open_on(state, book, on(9))
    open_on(saved, later, on(9))
    assert state_json(saved) == state_json(state)
    assert state_json(state_of_values(json.loads(state_json(saved)), NEW)) == state_json(saved)


def test_an_import_takes_former_ids() -> None:
    rows = [*MARKED, row(5, "set-aside", "tea"), row(6, "next", "cups")]
    rows += [row(6, "add", "own", '{"title": "Own", "after": ["cups"]}')]
    log = read_log(write_log(rows))
    assert check_log(log, NEW, on(9)) == ()
    later = [Version(date.min, a_course("bed", "desk")), Version(on(5), NEW)]
    early = read_log(write_log([*start(), row(3, "kept", "cups"), row(5, "set-aside", "cups")]))
    assert check_log(early, NEW, on(9), versions=later) == ()


def test_an_import_lets_a_household_have_a_step_of_its_own_under_a_former_id() -> None:
    log = read_log(write_log([*start("bunk"), row(2, "add", "cups", '{"title": "Ours"}')]))
    assert check_log(log, NEW, on(9)) == ()
