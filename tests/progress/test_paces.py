"""The pace: chosen at the start and changed afterwards (rules §3, §4 and §5.9)."""

from __future__ import annotations

import json
from datetime import date
from typing import TYPE_CHECKING

import pytest

from coach.course.model import Settles
from coach.errors import Malformed
from coach.progress.journal import Version, journal
from coach.progress.kept_state import kept_state
from coach.progress.log import Row, What
from coach.progress.replay import begin, close_through, each_day, open_on, replay
from coach.progress.standing import standing_of
from coach.progress.state_form import state_json, state_of_values
from progress.living import (
    FIRST,
    a_course,
    a_step,
    closed,
    days,
    lived,
    marks,
    on,
    opened,
    row,
    stand,
    start,
)

if TYPE_CHECKING:
    from coach.progress.standing import Standing

ONE = a_course("bed")
TWO = a_course("bed", a_step("cups", after=["bed"]))
OWN = '{"title": "Plants", "settles": {"kept": 1, "of": 1}}'


def gentle(day: int) -> Row:
    return row(day, "pace", value="gentle")


def standard(day: int) -> Row:
    return row(day, "pace", value="standard")


def settles(rows: list[Row], day: int, step: str = "bed") -> Settles:
    return stand(TWO, rows, day).steps[step].step.settles


def test_a_pace_holds_from_the_opening_of_its_date() -> None:
    rows = [*start(), gentle(3), standard(5)]
    assert [settles(rows, day) for day in days(1, 6)] == [
        *[Settles(2, 3)] * 2,
        *[Settles(3, 4)] * 2,
        *[Settles(2, 3)] * 2,
    ]
    assert [standing.pace for standing in lived(TWO, rows, 5).values()] == [
        "standard", "standard", "gentle", "gentle", "standard",
    ]  # fmt: skip


def test_of_several_on_one_date_the_last_one_written_holds() -> None:
    assert settles([*start(), gentle(3), standard(3), gentle(3)], 3) == Settles(3, 4)
    assert settles([*start(), gentle(3), gentle(3), standard(3)], 3) == Settles(2, 3)


def test_the_steps_to_come_and_adjusted_and_added_ones_follow_it() -> None:
    rows = [
        *start(),
        row(1, "add", "plants", OWN),
        row(2, "adjust", "bed", '{"settles": {"kept": 4, "of": 6}}'),
        gentle(3),
        row(4, "adjust", "cups", '{"settles": {"kept": 1, "of": 2}}'),
        row(4, "add", "post", OWN),
    ]
    steps = stand(TWO, rows, 4).steps
    assert {name: step.step.settles for name, step in steps.items()} == {
        "bed": Settles(5, 7),
        "cups": Settles(2, 3),
        "plants": Settles(2, 2),
        "post": Settles(2, 2),
    }


def test_what_has_settled_stays_settled_at_a_gentler_pace() -> None:
    rows = [*start(), *marks("kept", [1, 2], "bed"), gentle(3)]
    assert stand(TWO, rows, 3).steps["bed"].settled_on == on(2)
    assert stand(TWO, rows, 3).introduced == "cups"
    assert closed(TWO, rows, 9).records["bed"].settled == on(2)


def test_a_gentler_pace_asks_more_of_what_is_being_practised() -> None:
    rows = [*start(), *marks("kept", days(1, 9), "bed"), gentle(2)]
    assert closed(TWO, rows, 2).records["bed"].settled is None
    assert closed(TWO, rows, 3).records["bed"].settled == on(3)


def test_back_at_the_standard_pace_a_step_settles_at_the_next_close_and_not_at_the_opening() -> None:
    rows = [*start(pace="gentle"), *marks("kept", [1, 2], "bed"), standard(3)]
    assert stand(TWO, rows, 3).steps["bed"].state == "practising"
    assert stand(TWO, rows, 3).introduced is None
    assert closed(TWO, [*rows, row(3, "kept", "bed")], 3).records["bed"].settled == on(3)


def test_it_settles_at_that_close_without_an_outcome_too() -> None:
    rows = [*start(pace="gentle"), *marks("kept", [1, 2], "bed"), standard(3), row(3, "excused", "bed")]
    state = closed(TWO, rows, 3)
    assert (state.records["bed"].due, state.records["bed"].settled) == (2, on(3))


def test_a_weekly_step_settles_on_a_day_on_which_it_is_not_due() -> None:
    weekly = a_course(a_step("bed", repeats="FREQ=WEEKLY"))
    rows = [*start(pace="gentle"), *marks("kept", [1, 8], "bed"), standard(10)]
    assert stand(weekly, rows, 10).checklist == ()
    assert closed(weekly, rows, 9).records["bed"].settled is None
    assert closed(weekly, rows, 10).records["bed"].settled == on(10)


def test_nothing_settles_while_paused_and_the_pace_holds_once_the_pause_is_over() -> None:
    rows = [*start(pace="gentle"), *marks("kept", [1, 2], "bed")]
    rows += [row(3, "pause", value=on(5).isoformat()), standard(4)]
    assert (stand(TWO, rows, 4).phase, stand(TWO, rows, 4).pace) == ("paused", "standard")
    assert closed(TWO, rows, 5).records["bed"].settled is None
    assert closed(TWO, rows, 6).records["bed"].settled == on(6)


def test_one_on_a_lapsed_day_holds_and_ends_nothing() -> None:
    rows = [*start(pace="gentle"), *marks("kept", [1, 2], "bed"), standard(12)]
    standings = lived(TWO, rows, 14)
    assert [standings[day].phase for day in (12, 13, 14)] == ["lapsed"] * 3
    assert standings[12].pace == "standard"
    assert closed(TWO, rows, 14).records["bed"].settled is None
    # Missed days came between: of the latest three outcomes none is kept any more.
    assert closed(TWO, [*rows, row(15, "resume")], 15).records["bed"].settled is None


def test_a_step_that_rests_is_judged_by_it_once_it_is_back() -> None:
    course = a_course("bed", "cups", at_once=2)
    rows = [*start(pace="gentle"), *marks("kept", [1, 2], "bed", "cups")]
    rows += [row(3, "pause", value=on(13).isoformat()), row(14, "resume", value="one"), standard(14)]
    state, _ = opened(course, rows, 14)
    (resting,) = state.resting
    assert closed(course, rows, 14).records[resting].settled is None
    back = [*rows, row(15, "excused", resting)]
    assert closed(course, back, 15).records[resting].settled == on(15)


def test_one_dated_on_a_date_that_never_happened_holds_from_the_next_day() -> None:
    # Day 5 is 2011-12-30, which Apia's calendar went past.
    rows = [
        Row(date(2011, 12, 25), What.ZONE, value="Pacific/Apia"),
        Row(date(2011, 12, 26), What.START),
        Row(date(2011, 12, 31), What.PACE, value="standard"),
        Row(date(2011, 12, 30), What.PACE, value="gentle"),
    ]
    paces = {
        standing.on.day: standing.pace for standing in each_day(TWO, rows[:2] + rows[3:], date(2012, 1, 1))
    }
    assert paces == {
        26: "standard",
        27: "standard",
        28: "standard",
        29: "standard",
        31: "gentle",
        1: "gentle",
    }
    assert replay(TWO, rows, date(2011, 12, 31)).pace == "standard"


def test_of_the_start_and_rows_on_its_date_the_last_one_written_holds() -> None:
    assert stand(TWO, [*start(pace="gentle"), standard(1)], 1).pace == "standard"
    assert stand(TWO, [standard(1), *start(pace="gentle")], 1).pace == "gentle"
    assert stand(TWO, [gentle(1), *start()], 1).pace == "standard"


def test_the_start_takes_the_place_of_a_pace_dated_before_it() -> None:
    assert stand(TWO, [gentle(-2), *start()], 1).pace == "standard"
    assert stand(TWO, [*start(), gentle(-2)], 1).pace == "standard"


def test_the_reasons_and_the_phase_follow() -> None:
    rows = [*start(), *marks("kept", [1, 2], "bed"), row(3, "kept", "cups"), gentle(4)]
    (reason,) = stand(ONE, [*start(), gentle(1)], 1).reasons
    assert reason.kind == "complete"
    standing = stand(a_course("bed", a_step("cups", after=["bed"]), "door"), rows, 4)
    assert [(reason.step, reason.needs, reason.of) for reason in standing.reasons] == [("cups", 3, 4)]
    phases = lived(ONE, [*start(pace="gentle"), *marks("kept", [1, 2], "bed"), standard(3)], 4)
    assert [standing.phase for standing in phases.values()] == ["ramping"] * 3 + ["steady"]


def test_a_pace_changes_no_earlier_day() -> None:
    rows = [*start(), *marks("kept", days(1, 20), "bed", "cups")]
    for day in (1, 2, 3, 7, 20):
        before = list(each_day(TWO, rows, on(20)))
        after = list(each_day(TWO, [*rows, gentle(day)], on(20)))
        assert after[: day - 1] == before[: day - 1]
        assert after[day - 1] != before[day - 1]


@pytest.mark.parametrize("saved", [1, 2, 3, 4, 8])
def test_folded_on_from_a_saved_state_it_is_the_same(saved: int) -> None:
    rows = [
        *start(),
        *marks("kept", days(1, 9), "bed", "cups"),
        gentle(3),
        standard(6),
        gentle(6),
        standard(8),
    ]
    book = journal([Version(FIRST, TWO)], rows)
    state = begin(book)
    close_through(state, book, on(saved))
    state = state_of_values(json.loads(state_json(state)), TWO)
    later = journal([Version(FIRST, TWO)], [one for one in rows if one.date > on(saved)])
    assert standing_of(state, open_on(state, later, on(10))) == stand(TWO, rows, 10)


def test_rows_written_later_stand_as_if_the_log_had_been_read_with_them() -> None:
    versions, rows = [Version(FIRST, TWO)], start("bed")
    later = [gentle(4), gentle(-3), standard(1)]
    assert journal(versions, rows).with_rows(later) == journal(versions, [*rows, *later])
    assert [one.date for one in journal(versions, [*rows, *later]).decisions] == [on(1), on(4)]


@pytest.mark.parametrize("value", ["fast", "", "Gentle"])
def test_one_that_the_course_does_not_have_is_said_and_not_guessed(value: str) -> None:
    with pytest.raises(Malformed, match=f"no pace “{value}”. Choose one of: standard, gentle"):
        stand(TWO, [*start(), row(2, "pace", value=value)], 3)


SLOW = a_course("bed", a_step("cups", after=["bed"]), paces={"standard": 0, "slow": 3})


def stand_across(versions: list[Version], rows: list[Row], day: int) -> Standing:
    book = journal(versions, rows)
    state = begin(book)
    return standing_of(state, open_on(state, book, on(day)))


def paces(*versions: Version) -> list[str]:
    rows = [*start(), row(2, "pace", value="slow"), gentle(5), row(8, "pace", value="slow")]
    return [stand_across([*versions], rows, day).pace for day in days(1, 8)]


def test_a_pace_that_a_new_version_no_longer_has_leaves_the_standard_one() -> None:
    assert paces(Version(FIRST, SLOW), Version(on(4), TWO)) == [
        "standard", "slow", "slow", "standard", "gentle", "gentle", "gentle", "gentle",
    ]  # fmt: skip


def test_a_pace_that_comes_with_a_new_version_can_be_chosen_from_then_on() -> None:
    assert paces(Version(FIRST, TWO), Version(on(7), SLOW)) == [
        "standard", "standard", "standard", "standard", "gentle", "gentle", "standard", "slow",
    ]  # fmt: skip


def test_a_pace_whose_number_changes_with_the_course_adds_the_new_one() -> None:
    versions = [Version(FIRST, SLOW), Version(on(4), a_course("bed", paces={"standard": 0, "slow": 5}))]
    found = [stand_across(versions, start(pace="slow"), day).steps["bed"].step.settles for day in (3, 4)]
    assert found == [Settles(5, 6), Settles(7, 8)]


def test_a_state_without_its_vanished_pace_is_kept_and_read_back() -> None:
    book = journal([Version(FIRST, SLOW), Version(on(4), TWO)], start(pace="slow"))
    state = begin(book)
    close_through(state, book, on(5))
    assert kept_state(state_json(state), TWO, on(5)) == state
