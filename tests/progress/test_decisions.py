"""What rows other than marks change as their date opens (rules §4 and §5.1)."""

from __future__ import annotations

import json

import pytest

from coach.course.model import Settles
from coach.errors import Malformed
from coach.progress.decisions import EFFECTS
from coach.progress.log import MARKING, What
from progress.living import a_course, a_step, closed, days, lived, marks, on, opened, row, stand, start

TWO = a_course("bed", a_step("cups", after=["bed"]))


def own(**keys: object) -> str:
    return json.dumps({"title": "Water the plants"} | keys)


def test_rows_of_a_date_take_effect_in_the_order_in_which_they_were_written() -> None:
    pause, resume = row(3, "pause"), row(3, "resume")
    assert stand(TWO, [*start(), pause, resume], 3).phase == "ramping"
    assert stand(TWO, [*start(), resume, pause], 3).phase == "paused"


def test_a_row_takes_effect_when_its_date_opens_wherever_it_stands_in_the_log() -> None:
    rows = [*start(), row(5, "minutes", value="30"), row(3, "minutes", value="10")]
    ceilings = {day: standing.ceiling for day, standing in lived(TWO, rows, 6).items()}
    assert ceilings == {1: None, 2: None, 3: 10, 4: 10, 5: 30, 6: 30}


def test_rows_dated_before_the_start_hold_on_the_first_day() -> None:
    assert stand(TWO, [row(-2, "minutes", value="25"), *start()], 1).ceiling == 25


@pytest.mark.parametrize("what", ["set-aside", "restore", "adjust", "next"])
def test_a_row_about_a_step_nobody_has_changes_nothing(what: str) -> None:
    value = '{"title": "Else"}' if what == "adjust" else ""
    plain, with_row = stand(TWO, start(), 2), stand(TWO, [*start(), row(2, what, "attic", value)], 2)
    assert with_row.steps == plain.steps
    assert with_row.checklist == plain.checklist


def test_a_ceiling_is_lifted_by_a_blank() -> None:
    rows = [*start(), row(1, "minutes", value="4"), row(3, "minutes")]
    assert [stand(TWO, rows, day).ceiling for day in (1, 2, 3)] == [4, 4, None]


def test_zeros_in_front_let_no_ceiling_past_a_day() -> None:
    with pytest.raises(Malformed, match="“0000099999” is not a number of minutes from 0 to 1440"):
        stand(TWO, [*start(), row(1, "minutes", value="0000099999")], 1)


@pytest.mark.parametrize(("text", "ceiling"), [("0", 0), ("1440", 1440), ("007", 7), ("0" * 5000 + "9", 9)])
def test_noughts_in_front_do_not_change_a_ceiling(text: str, ceiling: int) -> None:
    assert stand(TWO, [*start(), row(1, "minutes", value=text)], 1).ceiling == ceiling


def test_zone_and_hour_hold_from_their_date_on() -> None:
    rows = [*start(), row(2, "zone", value="Europe/Lisbon"), row(3, "day-starts", value="15:00")]
    first, second, third = (stand(TWO, rows, day) for day in (1, 2, 3))
    assert [first.zone, second.zone] == ["UTC", "Europe/Lisbon"]
    assert [f"{second.day_starts:%H:%M}", f"{third.day_starts:%H:%M}"] == ["03:00", "15:00"]


def test_an_added_step_comes_last_in_the_order_with_the_defaults_of_a_step_file() -> None:
    standing = stand(TWO, [*start(), row(2, "add", "plants", own())], 2)
    added = standing.steps["plants"]
    assert list(standing.steps) == ["bed", "cups", "plants"]
    assert added.own
    assert (added.step.slot, added.step.minutes, added.step.repeats) == ("anytime", 5, "FREQ=DAILY")
    assert (added.step.settles, added.step.waits) == (Settles(2, 3), True)


def test_adding_a_step_that_is_there_changes_nothing() -> None:
    rows = [*start(), row(2, "add", "bed", own())]
    assert stand(TWO, rows, 2).steps["bed"].step.title == "The bed"


def test_a_pace_adds_to_added_and_adjusted_settles_too() -> None:
    rows = [
        *start(pace="gentle"),
        row(1, "add", "plants", own(settles={"kept": 1, "of": 1})),
        row(2, "adjust", "bed", '{"settles": {"kept": 4, "of": 6}}'),
    ]
    steps = stand(TWO, rows, 2).steps
    assert steps["plants"].step.settles == Settles(2, 2)
    assert steps["bed"].step.settles == Settles(5, 7)


def test_adjusting_twice_changes_what_each_names_and_keeps_the_rest() -> None:
    rows = [
        *start(),
        row(1, "adjust", "bed", '{"title": "Covers", "minutes": 9, "cue": "at dawn"}'),
        row(2, "adjust", "bed", '{"minutes": 1, "cue": null}'),
    ]
    step = stand(TWO, rows, 2).steps["bed"].step
    assert (step.title, step.minutes, step.cue) == ("Covers", 1, None)


def test_adjusting_the_weekdays_changes_what_is_due_and_not_what_was() -> None:
    rows = [*start(), *marks("kept", days(1, 3), "bed")]
    rows += [row(4, "adjust", "bed", '{"repeats": "FREQ=WEEKLY;BYDAY=SU"}')]
    lists = {day: standing.checklist for day, standing in lived(a_course("bed"), rows, 8).items()}
    assert {day for day, lines in lists.items() if lines} == {1, 2, 3, 7, 8}
    assert stand(a_course("bed"), rows, 8).steps["bed"].open_since == on(7)


def test_settling_is_judged_by_the_rule_in_force_at_the_close() -> None:
    rows = [*start(), row(1, "kept", "bed"), row(2, "adjust", "bed", '{"settles": {"kept": 1, "of": 1}}')]
    rows += [row(2, "excused", "bed")]
    assert closed(a_course("bed"), rows, 2).records["bed"].settled == on(2)


def test_what_is_set_aside_is_off_the_list_and_its_open_occurrence_forgotten() -> None:
    weekly = a_course(a_step("bed", repeats="FREQ=WEEKLY"))
    rows = [*start(), row(3, "set-aside", "bed"), row(5, "restore", "bed")]
    lists = {day: standing.checklist for day, standing in lived(weekly, rows, 8).items()}
    assert {day for day, lines in lists.items() if lines} == {1, 2, 8}
    assert stand(weekly, rows, 8).steps["bed"].due == 0


def test_restoring_a_step_that_never_came_makes_it_a_candidate_again() -> None:
    rows = [
        *start(),
        *marks("kept", days(1, 8), "bed"),
        row(1, "set-aside", "cups"),
        row(5, "restore", "cups"),
    ]
    came = {day: standing.introduced for day, standing in lived(TWO, rows, 6).items() if standing.introduced}
    assert came == {1: "bed", 5: "cups"}


def test_a_step_set_aside_clears_the_way_for_those_after_it() -> None:
    rows = [*start(), row(2, "set-aside", "bed")]
    assert stand(TWO, rows, 2).introduced == "cups"


def test_the_latest_wish_for_the_next_step_counts_if_it_may_come() -> None:
    course = a_course("bed", "cups", "door", a_step("lamp", after=["door"]))
    kept = [*start("bed"), *marks("kept", days(1, 4), "bed")]
    wish = [row(1, "next", "cups"), row(2, "next", "door")]
    assert stand(course, [*kept, *wish], 3).introduced == "door"
    assert stand(course, [*kept, row(1, "next", "lamp")], 3).introduced == "cups"
    assert stand(course, [*kept, row(1, "next", "door"), row(2, "next", "")], 3).introduced == "cups"


def test_a_wish_made_too_early_stays_until_its_step_may_come() -> None:
    course = a_course("bed", "cups", a_step("lamp", after=["bed"]))
    kept = [*start("bed"), *marks("kept", [1, 2], "bed")]
    assert stand(course, kept, 3).introduced == "cups"
    assert stand(course, [*kept, row(1, "next", "lamp")], 3).introduced == "lamp"


@pytest.mark.parametrize(
    ("what", "step", "value"),
    [
        ("pause", "", "next week"),
        ("resume", "", "some"),
        ("minutes", "", "-5"),
        ("minutes", "", "1441"),
        ("minutes", "", "0014401"),
        ("minutes", "", "٣"),
        ("zone", "", "Atlantis"),
        ("day-starts", "", "noon"),
        ("add", "plants", "{}"),
        ("add", "plants", "[1]"),
        ("add", "../plants", '{"title": "Up"}'),
        ("adjust", "bed", '{"lessons": []}'),
        ("adjust", "bed", "title"),
        ("adjust", "bed", '{"settles": {"kept": 3, "of": 2}}'),
    ],
)
def test_a_value_that_cannot_be_read_is_said_and_not_guessed(what: str, step: str, value: str) -> None:
    with pytest.raises(Malformed):
        stand(TWO, [*start(), row(2, what, step, value)], 2)


def test_every_kind_of_row_has_an_effect_or_is_a_mark_or_the_start() -> None:
    assert set(EFFECTS) | MARKING | {What.START} == set(What)


def test_set_aside_wins_over_resting() -> None:
    course = a_course("bed", "cups", at_once=2)
    rows = [*start(), *marks("kept", days(1, 5), "bed", "cups"), row(14, "resume", value="one")]
    state, _ = opened(course, [*rows, row(15, "set-aside", "cups")], 15)
    assert state.resting == []
    assert stand(course, [*rows, row(15, "set-aside", "cups")], 15).steps["cups"].state == "set-aside"


def test_a_resting_step_that_was_set_aside_no_longer_rests_once_it_is_restored() -> None:
    course = a_course("bed", "cups", at_once=2)
    rows = [*start(), *marks("kept", days(1, 5), "bed", "cups"), row(14, "resume", value="one")]
    rows += [row(15, "set-aside", "cups"), row(16, "restore", "cups")]
    assert stand(course, rows, 16).steps["cups"].state == "settled"
