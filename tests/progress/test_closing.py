"""How a day closes (rules §5.8 to §5.11)."""

from __future__ import annotations

import pytest

from progress.living import a_course, a_step, closed, days, lived, marks, on, row, stand, start

BED = a_course("bed")
WEEKLY = a_course(a_step("job", repeats="FREQ=WEEKLY"))


@pytest.mark.parametrize(
    ("what", "kept", "due"), [("kept", 1, 1), ("small", 1, 1), ("missed", 0, 1), ("excused", 0, 0)]
)
def test_an_occurrence_closes_as_its_step_is_marked(what: str, kept: int, due: int) -> None:
    record = closed(BED, [*start(), row(1, what, "bed")], 1).records["bed"]
    assert (record.kept, record.due, record.open_since) == (kept, due, None)


def test_a_daily_step_left_unmarked_closes_every_evening_as_missed() -> None:
    record = closed(BED, start(), 3).records["bed"]
    assert record.outcomes == [(on(1), False), (on(2), False), (on(3), False)]


def test_a_weekly_step_may_be_done_on_any_day_before_it_falls_again() -> None:
    assert closed(WEEKLY, [*start(), row(7, "kept", "job")], 7).records["job"].outcomes == [(on(7), True)]


def test_a_weekly_step_left_unmarked_closes_as_missed_on_the_day_before_it_falls_again() -> None:
    due = {day: standing.steps["job"].due for day, standing in lived(WEEKLY, start(), 8).items()}
    assert due == {1: 0, 2: 0, 3: 0, 4: 0, 5: 0, 6: 0, 7: 0, 8: 1}


def test_marking_it_missed_early_closes_it_and_a_second_mark_that_week_changes_nothing_else() -> None:
    rows = [*start(), row(2, "missed", "job"), row(4, "kept", "job")]
    record = closed(WEEKLY, rows, 4).records["job"]
    assert record.outcomes == [(on(2), False)]


def test_an_excused_weekly_step_is_off_the_list_for_its_week_and_has_no_outcome() -> None:
    rows = [*start(), row(3, "excused", "job")]
    lists = {day: bool(standing.checklist) for day, standing in lived(WEEKLY, rows, 8).items()}
    assert lists == {1: True, 2: True, 3: True, 4: False, 5: False, 6: False, 7: False, 8: True}
    assert closed(WEEKLY, rows, 7).records["job"].due == 0


def test_a_step_settles_on_fewer_outcomes_than_its_rule_looks_at() -> None:
    assert closed(BED, [*start(), *marks("kept", [1, 2], "bed")], 2).records["bed"].settled == on(2)


def test_only_the_latest_outcomes_count() -> None:
    four = a_course(a_step("bed", settles={"kept": 3, "of": 4}))
    history = dict(enumerate(["kept", "kept", "missed", "missed", "kept", "kept", "kept"], 1))
    rows = [*start(), *(row(day, what, "bed") for day, what in history.items())]
    assert closed(four, rows, 6).records["bed"].settled is None
    assert closed(four, rows, 7).records["bed"].settled == on(7)


def test_a_rule_may_look_at_more_outcomes_than_a_settled_step_keeps() -> None:
    slow = a_course(a_step("bed", settles={"kept": 20, "of": 20}))
    rows = [*start(), *marks("kept", days(1, 20), "bed")]
    assert [closed(slow, rows, day).records["bed"].settled for day in (19, 20)] == [None, on(20)]


def test_what_has_settled_stays_settled() -> None:
    rows = [*start(), *marks("kept", [1, 2], "bed"), *marks("missed", days(3, 20), "bed")]
    assert stand(BED, rows, 21).steps["bed"].state == "settled"


def test_settled_steps_keep_only_their_latest_outcomes_but_all_their_counts() -> None:
    rows = [*start(), *marks("kept", days(1, 30), "bed")]
    record = closed(BED, rows, 30).records["bed"]
    assert (record.kept, record.due, len(record.outcomes)) == (30, 30, 14)


def test_nothing_closes_on_a_paused_day_and_what_was_open_is_forgotten() -> None:
    rows = [*start(), row(3, "pause", value=on(5).isoformat())]
    assert closed(WEEKLY, rows, 7).records["job"].due == 0
    assert stand(WEEKLY, rows, 6).checklist == ()
    assert stand(WEEKLY, rows, 8).checklist == ("job",)


def test_seven_empty_days_make_a_lapse() -> None:
    phases = [standing.phase for standing in lived(BED, start(), 9).values()]
    assert phases == ["ramping"] * 7 + ["lapsed"] * 2


def test_the_course_says_how_many() -> None:
    phases = [standing.phase for standing in lived(a_course("bed", lapse_after=2), start(), 4).values()]
    assert phases == ["ramping"] * 2 + ["lapsed"] * 2


@pytest.mark.parametrize("what", ["kept", "small", "missed", "excused"])
def test_any_mark_ends_the_run_of_empty_days(what: str) -> None:
    assert closed(BED, [*start(), row(6, what, "bed")], 6).empty_run == 0
    assert closed(BED, [*start(), row(6, what, "bed")], 12).lapsed is False
    assert closed(BED, [*start(), row(6, what, "bed")], 13).lapsed is True


def test_a_mark_taken_back_leaves_the_day_empty() -> None:
    rows = [*start(), row(6, "kept", "bed"), row(6, "clear", "bed")]
    assert closed(BED, rows, 7).lapsed


def test_a_day_on_which_nothing_fell_due_neither_adds_to_the_run_nor_ends_it() -> None:
    runs = [closed(WEEKLY, start(), day).empty_run for day in (1, 2, 7, 8, 14, 15)]
    assert runs == [1, 1, 1, 2, 2, 3]


def test_a_weekly_household_lapses_after_seven_empty_weeks() -> None:
    phases = {day: standing.phase for day, standing in lived(WEEKLY, start(), 50).items()}
    assert (phases[43], phases[44]) == ("ramping", "lapsed")


def test_paused_days_leave_the_run_of_empty_days() -> None:
    rows = [*start(), row(4, "pause", value=on(6).isoformat())]
    assert [closed(BED, rows, day).empty_run for day in (3, 6, 7)] == [3, 3, 4]


def test_counted_days_are_those_with_an_outcome() -> None:
    rows = [
        *start(),
        *marks("excused", [1], "bed"),
        *marks("kept", [2], "bed"),
        row(3, "pause"),
        row(5, "resume"),
    ]
    assert closed(BED, rows, 5).counted == [(1, 1), (0, 1)]


def test_only_as_many_counted_days_are_looked_at_as_the_hold_says() -> None:
    assert len(closed(BED, [*start(), *marks("kept", days(1, 12), "bed")], 12).counted) == 7
