"""How a day opens (rules §5.1 to §5.7, and the phase)."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from coach.course.model import Hold
from progress.living import a_course, a_step, days, lived, marks, on, row, stand, start

if TYPE_CHECKING:
    from coach.course.model import Step
    from coach.progress.log import Row

ROOTS = a_course("bed", "cups", "door")


def test_the_first_day_brings_the_chosen_step_and_nothing_else() -> None:
    standing = stand(ROOTS, start("cups"), 1)
    assert (standing.introduced, standing.checklist, standing.phase) == ("cups", ("cups",), "ramping")


def test_without_a_choice_the_first_root_comes_first() -> None:
    course = a_course(a_step("lamp", after=["bed"]), "cups", "bed")
    assert stand(course, start(), 1).introduced == "cups"


def test_a_pause_dated_on_the_first_day_begins_with_the_second() -> None:
    days_ = lived(ROOTS, [*start(), row(1, "pause")], 2)
    assert [days_[day].phase for day in (1, 2)] == ["ramping", "paused"]


def test_the_list_goes_morning_anytime_evening_and_by_course_order_within() -> None:
    slots = {"a": "evening", "b": "anytime", "c": "morning", "d": "evening", "e": "morning"}
    steps = [a_step(name, slot=slot, waits=False) for name, slot in slots.items()]
    kept = marks("kept", days(1, 5), "a")
    assert stand(a_course(*steps, hold=Hold(at_least=0.0)), [*start("a"), *kept], 5).checklist == (
        "c",
        "e",
        "b",
        "a",
        "d",
    )


def test_at_most_one_step_comes_on_a_day() -> None:
    steps = [a_step(name, waits=False) for name in ("a", "b", "c")]
    kept = [*start("a"), *marks("kept", days(1, 4), "a")]
    came = [standing.introduced for standing in lived(a_course(*steps), kept, 4).values()]
    assert came == ["a", "b", "c", None]


def test_a_waiting_step_waits_until_the_one_before_it_has_settled() -> None:
    rows = [*start("bed"), *marks("kept", [1, 3], "bed")]
    came = {day: standing.introduced for day, standing in lived(ROOTS, rows, 4).items()}
    assert came == {1: "bed", 2: None, 3: None, 4: "cups"}


def test_as_many_waiting_steps_are_practised_at_once_as_the_course_says() -> None:
    course = a_course("bed", "cups", "door", at_once=2)
    rows = [*start("bed"), row(1, "kept", "bed")]
    came = {day: standing.introduced for day, standing in lived(course, rows, 3).items()}
    assert came == {1: "bed", 2: "cups", 3: None}


def test_a_waiting_step_set_aside_makes_room() -> None:
    rows = [*start("bed"), row(2, "set-aside", "bed")]
    assert stand(ROOTS, rows, 2).introduced == "cups"


@pytest.mark.parametrize(
    ("lamp", "day"),
    [
        (a_step("lamp", waits=False, after=["bed", "cups"]), 5),
        (a_step("lamp", waits=False, after_any=["bed", "cups"]), 3),
        (a_step("lamp", waits=False, after=["bed"], after_any=["door"]), None),
    ],
)
def test_a_step_comes_after_all_it_names_and_after_any_of_the_others(lamp: Step, day: int | None) -> None:
    course = a_course(lamp, "bed", "cups", a_step("door", after=["bed"]))
    # The bed settles on day 2, the cups on day 4, and the door does not.
    rows = [*start(), *marks("kept", days(1, 8), "bed"), *marks("kept", days(3, 8), "cups")]
    came = {standing.introduced: number for number, standing in lived(course, rows, 6).items()}
    assert came.get("lamp") == day


def test_the_hold_keeps_back_every_step_while_too_little_was_kept() -> None:
    course = a_course("bed", a_step("plants", waits=False, after=["bed"]))
    rows = [
        *start(),
        *marks("kept", [1, 2], "bed"),
        row(2, "set-aside", "plants"),
        row(6, "restore", "plants"),
    ]
    bad = [*rows, *marks("missed", days(3, 5), "bed")]
    came = {
        day: standing.introduced
        for day, standing in lived(course, bad + marks("kept", [6, 7], "bed"), 9).items()
    }
    # Day 6 opens with 2 of 5 kept, day 7 with 3 of 6, day 8 with 4 of 7: all under 0.6; day 9 with 3 of 7.
    assert [came[day] for day in (6, 7, 8, 9)] == [None] * 4
    later = bad + marks("kept", days(6, 9), "bed")
    assert lived(course, later, 9)[9].introduced is None  # of days 2 to 8, 4 of 7
    assert lived(course, later, 10)[10].introduced is None  # of days 3 to 9, 4 of 7
    assert lived(course, later + marks("kept", [10], "bed"), 11)[11].introduced == "plants"  # 5 of 7


def test_a_share_that_just_reaches_the_hold_is_enough() -> None:
    course = a_course("bed", "cups", at_once=2)
    rows = [*start(), row(1, "set-aside", "cups"), row(6, "restore", "cups")]
    rows += marks("kept", [1, 2, 3], "bed") + marks("missed", [4, 5], "bed")
    assert lived(course, rows, 6)[6].introduced == "cups"  # 3 of 5 is 0.6


def test_nothing_is_held_back_where_no_step_is_active() -> None:
    rows = [*start("bed"), row(1, "missed", "bed"), row(2, "set-aside", "bed")]
    assert stand(ROOTS, rows, 2).introduced == "cups"


@pytest.mark.parametrize(("most", "came"), [("10", ["bed", "job", "cups"]), ("9", ["bed", "job", None])])
def test_the_ceiling_counts_the_minutes_of_active_waiting_steps_alone(
    most: str, came: list[str | None]
) -> None:
    job = a_step("job", minutes=60, waits=False)
    course = a_course(a_step("bed", minutes=4), job, a_step("cups", minutes=6), at_once=3)
    rows = [*start("bed"), row(1, "minutes", value=most), *marks("kept", days(1, 3), "bed")]
    assert [day.introduced for day in lived(course, rows, 3).values()] == came


def test_a_step_marked_before_its_turn_has_come_and_is_due_although_its_rule_does_not_fall() -> None:
    course = a_course("bed", a_step("job", repeats="FREQ=WEEKLY;BYDAY=SU", after=["bed"]))
    standing = stand(course, [*start(), row(1, "missed", "bed"), row(2, "kept", "job")], 2)
    assert standing.introduced is None
    assert standing.checklist == ("bed", "job")
    assert standing.steps["job"].introduced_on == on(2)
    assert stand(course, [*start(), row(2, "kept", "job")], 3).steps["job"].kept == 1


def test_a_mark_on_a_step_set_aside_does_not_bring_it_back() -> None:
    rows = [*start(), row(2, "set-aside", "cups"), row(3, "kept", "cups")]
    standing = stand(ROOTS, rows, 3)
    assert standing.steps["cups"].introduced_on is None
    assert "cups" not in standing.checklist


def test_a_mark_on_a_step_that_does_not_exist_yet_does_nothing_at_all() -> None:
    rows = [
        *start(),
        row(2, "kept", "plants"),
        row(3, "add", "plants", '{"title": "Plants", "after": ["door"]}'),
    ]
    before, after = stand(ROOTS, rows, 2), stand(ROOTS, rows, 3)
    assert before.marks == {}
    assert after.steps["plants"].introduced_on is None
    assert after.steps["plants"].due == 0


def test_marking_a_resting_step_brings_it_back_that_day() -> None:
    course = a_course("bed", "cups", "door", at_once=3)
    rows = [*start(), *marks("kept", days(1, 5), "bed", "cups", "door"), row(14, "resume", value="one")]
    assert lived(course, rows, 14)[14].resting == ("cups", "door")
    standing = stand(course, [*rows, row(14, "kept", "door")], 14)
    assert standing.resting == ("cups",)
    assert standing.checklist == ("bed", "door")


def test_a_rule_begins_on_the_day_its_step_comes() -> None:
    course = a_course("bed", a_step("job", repeats="FREQ=DAILY;INTERVAL=3", waits=False))
    rows = [*start(), *marks("kept", days(1, 9), "bed", "job")]
    rows = [entry for entry in rows if entry.step != "job"]
    since = {
        day: standing.steps["job"].open_since for day, standing in lived(course, rows, 8).items() if day > 1
    }
    assert since == {2: on(2), 3: on(2), 4: on(2), 5: on(5), 6: on(5), 7: on(5), 8: on(8)}


def test_an_occurrence_that_falls_while_its_step_is_set_aside_is_not_due_once_it_is_restored() -> None:
    course = a_course(a_step("job", repeats="FREQ=WEEKLY"))
    rows = [*start(), row(2, "kept", "job"), row(7, "set-aside", "job"), row(9, "restore", "job")]
    assert {day: stand(course, rows, day).checklist for day in (9, 15)} == {9: (), 15: ("job",)}


@pytest.mark.parametrize(
    ("rows", "day", "phase"),
    [
        ([], 1, "ramping"),
        (marks("kept", [1, 2], "bed"), 2, "ramping"),
        (marks("kept", [1, 2], "bed"), 3, "steady"),
        ([row(2, "set-aside", "bed")], 2, "steady"),
        ([*marks("kept", [1, 2], "bed"), row(3, "pause")], 3, "paused"),
        ([], 7, "ramping"),
        ([], 8, "lapsed"),
        ([row(8, "pause")], 8, "paused"),
        ([row(8, "kept", "bed")], 8, "ramping"),
    ],
)
def test_the_phase_is_the_first_that_applies(rows: list[Row], day: int, phase: str) -> None:
    assert stand(a_course("bed"), [*start(), *rows], day).phase == phase


def test_a_step_that_does_not_wait_need_not_settle_for_the_steady_time() -> None:
    course = a_course("bed", a_step("job", repeats="FREQ=WEEKLY", waits=False))
    rows = [*start(), *marks("kept", [1, 2], "bed")]
    assert stand(course, rows, 3).phase == "steady"
