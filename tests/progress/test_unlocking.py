"""Which step comes next and why none has come (rules §5.5)."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from coach.progress.unlocking import Reason
from progress.living import a_course, a_step, days, marks, on, row, stand, start

if TYPE_CHECKING:
    from coach.course.model import Course
    from coach.progress.log import Row

CHAIN = a_course("bed", a_step("cups", after=["bed"]), a_step("lamp", after=["cups"]))


def why(rows: list[Row], day: int, course: Course = CHAIN) -> list[Reason]:
    return list(stand(course, [*start(), *rows], day).reasons)


@pytest.mark.parametrize(
    ("rows", "day", "kept", "seen"),
    [
        ([], 1, 0, 0),
        (marks("kept", [1], "bed"), 2, 1, 1),
        (marks("missed", [1], "bed"), 2, 0, 1),
        ([row(1, "kept", "bed"), row(2, "missed", "bed")], 3, 1, 2),
        ([*marks("missed", [1, 2], "bed"), row(3, "kept", "bed"), row(4, "missed", "bed")], 5, 1, 3),
    ],
)
def test_a_step_being_practised_says_how_far_it_is_from_settling(
    rows: list[Row], day: int, kept: int, seen: int
) -> None:
    settling = [reason for reason in why(rows, day) if reason.kind == "settles"]
    assert settling == [Reason("settles", "bed", kept, 2, 3, seen)]


@pytest.mark.parametrize(
    ("outcomes", "bars"),
    [
        ("", 0),
        ("m", 0),
        ("k", 1),
        ("km", 1),
        ("kmm", 1),
        ("kmmm", 1),
        ("kmmmmmk", 1),
        ("kmk", 2),
        ("kk", 2),
    ],
)
def test_a_kept_day_lifts_a_bar_and_a_miss_lowers_none(outcomes: str, bars: int) -> None:
    rows = [
        row(day, {"k": "kept", "m": "missed"}[outcome], "bed")
        for day, outcome in enumerate(outcomes, start=1)
    ]
    assert stand(CHAIN, [*start(), *rows], len(outcomes) + 1).steps["bed"].lifted == bars


def test_the_gate_of_a_long_rule_counts_those_kept_near_each_other_alone() -> None:
    course = a_course(a_step("bed", settles={"kept": 4, "of": 5}))
    kept = [1, 2, 3, 9]
    rows = [row(day, "kept" if day in kept else "missed", "bed") for day in range(1, 10)]
    assert stand(course, [*start(), *rows], 10).steps["bed"].lifted == 3
    assert stand(course, [*start(), *rows[:2]], 3).steps["bed"].lifted == 2


def test_the_last_bar_lifts_when_the_step_settles_even_if_an_easier_rule_was_met_long_ago() -> None:
    rows = [*marks("kept", [1, 5], "bed"), *marks("missed", [2, 3, 4, 6, 7], "bed")]
    easier = row(8, "adjust", "bed", '{"settles": {"kept": 1, "of": 1}}')
    assert stand(CHAIN, [*start(), *rows], 8).steps["bed"].lifted == 1
    assert stand(CHAIN, [*start(), *rows, easier], 8).steps["bed"].lifted == 0
    assert stand(CHAIN, [*start(), *rows, easier, row(8, "kept", "bed")], 9).steps["bed"].lifted == 1


def test_a_gentle_pace_gives_the_gate_another_bar_and_a_step_to_come_or_set_aside_has_its_own() -> None:
    rows = [*start(pace="gentle"), *marks("kept", [1, 2], "bed"), row(2, "set-aside", "lamp")]
    steps = stand(CHAIN, rows, 3).steps
    assert (steps["bed"].lifted, steps["bed"].settling.needs) == (2, 3)
    assert (steps["cups"].lifted, steps["lamp"].lifted) == (0, steps["lamp"].step.settles.kept)


def test_a_gentle_pace_asks_for_more() -> None:
    reasons = stand(CHAIN, [*start(pace="gentle"), row(1, "kept", "bed")], 2).reasons
    assert reasons == (Reason("settles", "bed", 1, 3, 4, 1),)


def test_too_little_kept_lately_is_said_with_what_would_be_enough() -> None:
    rows = [row(1, "kept", "bed"), *marks("missed", [2, 3], "bed")]
    assert why(rows, 4)[0] == Reason("hold", None, 1, 2, 3, 3)


def test_what_would_be_enough_is_a_share_rounded_up() -> None:
    rows = [row(1, "kept", "bed"), *marks("missed", [2, 3, 4], "bed")]
    assert why(rows, 5)[0] == Reason("hold", None, 1, 3, 4, 4)  # 0.6 of 4 is 2.4


def test_of_the_resting_steps_the_one_that_comes_back_next_is_named() -> None:
    course = a_course("bed", "cups", "door", at_once=3)
    rows = [*marks("kept", days(1, 5), "bed", "cups", "door"), row(14, "resume", value="one")]
    assert why(rows, 14, course) == [Reason("resting", "cups")]


def test_a_ceiling_of_minutes_is_said_with_the_step_that_does_not_fit() -> None:
    rows = [row(1, "minutes", value="7"), *marks("kept", days(1, 4), "bed")]
    assert why(rows, 4) == [Reason("minutes", "cups", 5, 5, 7)]


def test_a_step_after_one_that_does_not_exist_says_only_that_it_comes_after() -> None:
    rows = [*marks("kept", [1, 2], "bed"), row(2, "add", "plants", '{"title": "Plants", "after": ["attic"]}')]
    assert why(rows, 3, a_course("bed")) == [Reason("after", "plants")]


def test_what_a_step_comes_after_is_not_said_where_something_nearer_keeps_it_back() -> None:
    rows = [
        row(1, "kept", "bed"),
        row(1, "add", "plants", '{"title": "Plants", "after": ["attic"], "waits": false}'),
    ]
    assert [reason.kind for reason in why(rows, 2, a_course("bed", "cups"))] == ["settles"]


def test_what_a_waiting_step_comes_after_is_said_as_that_steps_settling() -> None:
    course = a_course("bed", a_step("job", repeats="FREQ=WEEKLY", waits=False), a_step("lamp", after=["job"]))
    rows = [*marks("kept", days(1, 3), "bed"), row(2, "kept", "job")]
    assert why(rows, 4, course) == [Reason("settles", "job", 1, 2, 3, 1)]


def test_a_step_that_may_come_is_said_to_come_tomorrow() -> None:
    course = a_course("bed", a_step("job", waits=False), a_step("plants", waits=False))
    assert why([row(1, "kept", "bed")], 2, course) == [Reason("tomorrow", "plants")]


def test_what_keeps_the_others_back_is_said_behind_it() -> None:
    course = a_course("bed", a_step("job", waits=False), "cups")
    assert why([], 1, course) == [Reason("tomorrow", "job"), Reason("settles", "bed", 0, 2, 3, 0)]


@pytest.mark.parametrize(
    ("rows", "day", "kind"),
    [
        ([row(2, "pause")], 2, "paused"),
        ([], 8, "lapsed"),
        (
            [
                *marks("kept", days(1, 6), "bed"),
                *marks("kept", days(3, 6), "cups"),
                row(14, "resume", value="one"),
            ],
            14,
            "resting",
        ),
        ([*marks("kept", days(1, 4), "bed"), row(12, "resume", value="all")], 12, "returning"),
        (
            [*marks("kept", days(1, 2), "bed"), row(3, "set-aside", "cups"), row(3, "set-aside", "lamp")],
            3,
            "complete",
        ),
    ],
)
def test_away_and_on_the_way_back_that_alone_is_said(rows: list[Row], day: int, kind: str) -> None:
    assert [reason.kind for reason in why(rows, day)] == [kind]


def test_the_same_reason_is_said_once() -> None:
    course = a_course("bed", *(a_step(name, after=["bed"]) for name in ("a", "b", "c")))
    assert len(why([], 1, course)) == 1


def test_every_step_tells_what_it_has_still_to_hold() -> None:
    standing = stand(CHAIN, [*start(), row(1, "kept", "bed")], 2)
    assert standing.steps["bed"].settling == Reason("settles", "bed", 1, 2, 3, 1)
    assert standing.steps["cups"].unlocked is False
    assert standing.steps["bed"].introduced_on == on(1)
