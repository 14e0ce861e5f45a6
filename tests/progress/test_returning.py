"""Pauses, lapses and the way back (rules §5.2 to §5.4)."""

from __future__ import annotations

from datetime import date

import pytest

from coach.course.model import Return
from coach.progress.log import Row
from coach.progress.replay import replay
from progress.living import a_course, a_step, closed, days, lived, marks, on, row, stand, start

NAMES = tuple("abcdefghij")
TEN = a_course(*NAMES, at_once=10)
THREE = a_course("a", "b", "c", at_once=3)


def paused(rows: list[Row], last: int) -> list[int]:
    """The days up to one that are paused."""
    return [day for day, standing in lived(THREE, rows, last).items() if standing.phase == "paused"]


def until(day: int) -> str:
    return on(day).isoformat()


def ten_for(days_kept: int) -> list[Row]:
    """Ten steps brought in one a day, all kept up to a day; the earlier ones are the stronger."""
    return [*start(), *(row(day, "kept", name) for day in days(1, days_kept) for name in NAMES[:day])]


def three_for(days_kept: int) -> list[Row]:
    return [*start(), *(row(day, "kept", name) for day in days(1, days_kept) for name in "abc"[:day])]


@pytest.mark.parametrize(
    ("away", "back"),
    # floor(10 * 2^(-away / 14) + 0.5), worked out by hand: 7.07, 5, 3.54, 2.5, 1.77, 1.25, 0.31
    [(7, 7), (14, 5), (21, 4), (28, 3), (35, 2), (42, 1), (70, 1)],
)
def test_the_list_halves_with_every_half_life_away_and_never_below_one(away: int, back: int) -> None:
    rows = [*ten_for(12), row(13 + away, "kept", "a")]
    standing = stand(TEN, rows, 13 + away)
    assert standing.comeback is not None
    assert (standing.comeback.gap, standing.comeback.back, standing.comeback.of) == (away, back, 10)
    assert len(standing.resting) == 10 - back


def test_the_half_life_is_the_courses_own() -> None:
    course = a_course(*NAMES, at_once=10, returning=Return(half_life=7))
    assert len(stand(course, [*ten_for(12), row(20, "kept", "a")], 20).resting) == 5


def test_the_strongest_come_straight_back_and_the_others_in_that_order() -> None:
    rows = [*three_for(6), *marks("kept", [7, 8], "c"), *marks("missed", [7, 8], "a", "b")]
    standing = stand(THREE, [*rows, row(29, "resume")], 29)
    strengths = {name: step.strength for name, step in standing.steps.items()}
    assert strengths["c"] > strengths["a"] > strengths["b"]
    assert standing.checklist == ("c",)
    assert standing.resting == ("a", "b")


def test_equally_strong_steps_come_back_in_course_order() -> None:
    course = a_course("z", "m", "a", at_once=3)
    rows = [*start("a"), *marks("kept", days(1, 5), "z", "m", "a"), row(40, "resume")]
    assert stand(course, rows, 40).resting == ("m", "a")


def test_steps_set_aside_take_no_part_in_a_return() -> None:
    rows = [*three_for(6), row(7, "set-aside", "a"), row(29, "resume", value="all")]
    standing = stand(THREE, rows, 29)
    assert standing.checklist == ("b", "c")
    assert standing.comeback is not None
    assert standing.comeback.of == 2


def test_a_return_without_any_step_left_brings_none() -> None:
    rows = [*start(), row(2, "set-aside", "a"), row(2, "set-aside", "b"), row(2, "set-aside", "c")]
    rows += [row(3, "pause", value=until(20))]
    standing = stand(THREE, rows, 21)
    assert standing.comeback is not None
    assert (standing.comeback.back, standing.comeback.of, standing.resting) == (0, 0, ())


@pytest.mark.parametrize(("choice", "resting"), [("all", ()), ("one", ("b", "c")), ("", ("c",))])
def test_a_household_may_choose_how_much_comes_back(choice: str, resting: tuple[str, ...]) -> None:
    assert stand(THREE, [*three_for(6), row(15, "resume", value=choice)], 15).resting == resting


def test_the_latest_choice_of_the_day_counts_and_marks_take_none_away() -> None:
    rows = [
        *three_for(6),
        row(15, "kept", "a"),
        row(15, "resume", value="one"),
        row(15, "resume", value="all"),
    ]
    assert stand(THREE, rows, 15).resting == ()
    assert stand(THREE, [*rows, row(15, "resume")], 15).resting == ()


def test_a_choice_of_an_earlier_day_says_nothing_about_a_later_return() -> None:
    rows = [*three_for(6), row(5, "resume", value="one"), row(15, "kept", "a")]
    assert stand(THREE, rows, 15).resting == ("c",)


def test_a_lapsed_day_shows_the_list_that_would_come_back_and_changes_nothing() -> None:
    standing = stand(THREE, three_for(6), 15)
    assert standing.phase == "lapsed"
    assert standing.checklist == ("a", "b")
    assert standing.resting == ()
    assert standing.comeback is not None
    assert standing.comeback.back == 2
    assert closed(THREE, three_for(6), 15).lapsed


def test_a_lapse_lasts_until_a_mark_or_a_resume() -> None:
    for ending in (row(30, "resume"), row(30, "missed", "c")):
        phases = [day.phase for day in lived(THREE, [*three_for(6), ending], 30).values()]
        assert phases[12:] == ["steady"] + ["lapsed"] * 16 + ["rebuilding"]


def test_a_mark_on_an_unknown_step_is_no_return() -> None:
    assert stand(THREE, [*three_for(6), row(15, "kept", "attic")], 15).phase == "lapsed"


def test_the_day_of_the_return_introduces_nothing() -> None:
    rows = [*start(), *marks("kept", [1, 2], "a"), row(3, "set-aside", "b")]
    rows += [row(10, "restore", "b"), row(10, "resume", value="all"), row(10, "kept", "a")]
    days_ = lived(a_course("a", "b"), rows, 11)
    assert days_[10].introduced is None
    assert [reason.kind for reason in days_[10].reasons] == ["returning"]
    assert days_[11].introduced == "b"


def test_a_return_ends_the_run_of_empty_days_and_an_empty_return_begins_a_new_one() -> None:
    rows = [*three_for(6), row(15, "resume")]
    assert closed(THREE, rows, 15).empty_run == 1
    phases = {day: standing.phase for day, standing in lived(THREE, rows, 22).items()}
    assert [phases[day] for day in (15, 21, 22)] == ["rebuilding", "rebuilding", "lapsed"]


def test_open_occurrences_are_forgotten_on_a_return() -> None:
    course = a_course("a", a_step("job", repeats="FREQ=WEEKLY", waits=False), lapse_after=3)
    rows = [*start(), row(1, "kept", "a"), row(6, "resume", value="all"), *marks("kept", days(6, 9), "a")]
    lists = {day: standing.checklist for day, standing in lived(course, rows, 9).items()}
    assert lists[4] == ("a", "job")
    assert lists[6] == ("a",)
    assert lists[9] == ("a", "job")


def test_counted_days_are_forgotten_after_a_lapse_and_kept_after_a_pause() -> None:
    lapsed = [*three_for(6), row(15, "resume", value="all")]
    assert closed(THREE, lapsed, 15).counted == [(0, 3)]
    paused = [*three_for(6), row(7, "pause", value=until(14))]
    assert closed(THREE, paused, 15).counted[:2] == [(1, 1), (2, 2)]


def test_a_resting_step_comes_back_after_a_good_day() -> None:
    rows = [*three_for(6), row(15, "resume", value="one"), row(15, "kept", "a"), row(16, "kept", "a")]
    rest = {day: standing.resting for day, standing in lived(THREE, rows, 18).items()}
    # Day 16 closes with 1 of 2 kept, which is less than two thirds.
    assert [rest[day] for day in (15, 16, 17, 18)] == [("b", "c"), ("c",), ("c",), ("c",)]


def test_two_of_three_is_a_good_day() -> None:
    four = a_course("a", "b", "c", "d", at_once=4)
    rows = [*start(), *marks("kept", days(1, 6), "a", "b", "c", "d"), row(15, "resume")]
    rows += [row(15, "kept", "a"), row(15, "kept", "b"), row(15, "missed", "c")]
    rest = {day: standing.resting for day, standing in lived(four, rows, 16).items()}
    assert rest[15] == ("d",)
    assert rest[16] == ()


def test_a_day_without_an_outcome_brings_nothing_back() -> None:
    rows = [*three_for(6), row(15, "resume", value="one"), row(15, "excused", "a")]
    assert stand(THREE, rows, 16).resting == ("b", "c")


def test_a_day_on_which_nothing_was_due_brings_one_back() -> None:
    course = a_course(a_step("job", repeats="FREQ=WEEKLY"), "bed", at_once=2, lapse_after=3)
    rows = [*start("job"), row(1, "kept", "job"), row(2, "missed", "bed"), row(6, "resume", value="one")]
    days_ = lived(course, rows, 7)
    assert (days_[6].checklist, days_[6].resting) == ((), ("bed",))
    assert (days_[7].checklist, days_[7].resting) == (("bed",), ())


def test_nothing_is_introduced_on_a_day_that_opens_with_resting_steps() -> None:
    rows = [*three_for(6), row(15, "resume", value="one"), row(16, "add", "plants", '{"title": "Plants"}')]
    rows += [
        *marks("kept", days(15, 18), "a"),
        *marks("kept", days(16, 18), "b"),
        *marks("kept", [17, 18], "c"),
    ]
    days_ = lived(THREE, rows, 18)
    assert {day: days_[day].resting for day in days(15, 18)} == {15: ("b", "c"), 16: ("c",), 17: (), 18: ()}
    assert {day: days_[day].introduced for day in days(15, 18)} == {
        15: None,
        16: None,
        17: None,
        18: "plants",
    }


def test_a_pause_covers_its_first_and_its_last_day() -> None:
    assert paused([*three_for(4), row(5, "pause", value=until(7))], 12) == [5, 6, 7]


def test_a_pause_planned_beforehand_begins_on_its_date() -> None:
    assert paused([row(20, "pause", value=until(22)), *three_for(19)], 24) == [20, 21, 22]


def test_a_later_pause_replaces_an_earlier_one() -> None:
    assert paused([*three_for(4), row(5, "pause"), row(6, "pause", value=until(7))], 9) == [5, 6, 7]


def test_a_pause_that_ends_before_it_begins_covers_no_day_and_ends_the_one_before() -> None:
    assert paused([*three_for(4), row(5, "pause"), row(7, "pause", value=until(6))], 9) == [5, 6]


@pytest.mark.parametrize("last", ["", until(9)])
def test_a_resume_ends_either_kind_of_pause(last: str) -> None:
    assert paused([*three_for(4), row(5, "pause", value=last), row(7, "resume")], 10) == [5, 6]


@pytest.mark.parametrize(("last", "covered"), [("", [5, 6]), (until(9), [5, 6, 8, 9])])
def test_a_mark_ends_an_open_pause_and_interrupts_a_dated_one(last: str, covered: list[int]) -> None:
    assert paused([*three_for(4), row(5, "pause", value=last), row(7, "kept", "a")], 10) == covered


def test_a_mark_taken_back_leaves_the_pause_as_it_was() -> None:
    rows = [*three_for(4), row(5, "pause"), row(7, "kept", "a"), row(7, "clear", "a")]
    assert stand(THREE, rows, 8).phase == "paused"


@pytest.mark.parametrize(("last", "is_return"), [(10, False), (11, True)])
def test_a_pause_is_followed_by_a_return_if_it_was_as_long_as_a_lapse(last: int, is_return: bool) -> None:  # noqa: FBT001
    rows = [*three_for(4), row(5, "pause", value=until(last))]
    standing = stand(THREE, rows, last + 1)
    assert (standing.comeback is not None) == is_return
    if standing.comeback:
        assert (standing.comeback.gap, standing.comeback.after_pause) == (7, True)


def test_days_without_a_mark_before_a_pause_lengthen_the_gap() -> None:
    rows = [*three_for(4), row(8, "pause", value=until(11))]
    comeback = stand(THREE, rows, 12).comeback
    assert comeback is not None
    assert comeback.gap == 7


def test_a_mark_during_a_pause_is_the_latest_day_with_one() -> None:
    rows = [*three_for(4), row(5, "pause", value=until(14)), row(10, "kept", "a")]
    assert stand(THREE, rows, 15).comeback is None


def test_a_pause_ends_a_lapse() -> None:
    rows = [*three_for(6), row(15, "pause", value=until(16))]
    phases = {day: standing.phase for day, standing in lived(THREE, rows, 17).items()}
    assert [phases[day] for day in (14, 15, 16, 17)] == ["lapsed", "paused", "paused", "rebuilding"]
    comeback = stand(THREE, rows, 17).comeback
    assert comeback is not None
    assert comeback.after_pause


def test_a_second_return_ranks_all_steps_anew() -> None:
    rows = [*three_for(6), row(15, "resume", value="one"), row(40, "resume", value="all")]
    assert stand(THREE, rows, 30).phase == "lapsed"
    assert stand(THREE, rows, 40).resting == ()


def test_the_gap_before_any_mark_is_counted_from_the_day_before_the_start() -> None:
    comeback = stand(a_course("a"), [*start(), row(8, "resume")], 8).comeback
    assert comeback is not None
    assert comeback.gap == 7


def in_apia(text: str, what: str, step: str = "", value: str = "") -> Row:
    """A row of a household in Apia, where there was no 2011-12-30."""
    return Row(date.fromisoformat(text), row(1, what).what, step, value)


APIA = [
    in_apia("2011-12-28", "zone", value="Pacific/Apia"),
    in_apia("2011-12-28", "start", "a"),
    in_apia("2011-12-28", "kept", "a"),
]


def test_a_date_that_never_happened_is_not_counted_in_the_gap() -> None:
    comeback = replay(a_course("a"), [*APIA, in_apia("2012-01-06", "resume")], date(2012, 1, 6)).comeback
    assert comeback is not None
    assert comeback.gap == 7  # 29 and 31 December, 1 to 5 January


def test_a_resume_dated_by_a_date_that_never_happened_is_one_of_the_next_day() -> None:
    course = a_course("a", lapse_after=1)
    rows = [*APIA, in_apia("2011-12-30", "resume")]
    found = replay(course, rows, date(2011, 12, 31))
    assert found.comeback is not None
    assert found.phase == "ramping"


def test_a_paused_day_brings_no_resting_step_back() -> None:
    rows = [*three_for(6), row(15, "resume", value="one"), row(15, "kept", "a")]
    rows += [row(16, "pause", value=until(17))]
    rest = {day: standing.resting for day, standing in lived(THREE, rows, 18).items()}
    assert rest[15] == rest[18] == ("b", "c")


def test_a_resting_step_settles_only_once_it_is_back() -> None:
    course = a_course("a", a_step("b", settles={"kept": 9, "of": 9}), at_once=2)
    rows = [*start(), *marks("kept", days(1, 6), "a"), *marks("kept", days(2, 6), "b")]
    rows += [row(15, "resume", value="one"), row(15, "adjust", "b", '{"settles": {"kept": 1, "of": 9}}')]
    rows += [row(16, "kept", "a")]
    assert stand(course, rows, 17).resting == ()
    assert closed(course, rows, 16).records["b"].settled is None
    assert closed(course, rows, 17).records["b"].settled == on(17)


def test_a_step_added_while_away_waits_for_the_return() -> None:
    rows = [*three_for(6), row(14, "add", "plants", '{"title": "Plants"}'), row(15, "resume", value="all")]
    assert stand(THREE, rows, 14).introduced is None
    assert stand(THREE, rows, 15).introduced is None
