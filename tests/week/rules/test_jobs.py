"""Weekday jobs as values: lines that keep their ids, and a timer that is an instant."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from coach.errors import Malformed
from coach.week.rules.jobs import MOST_LINES, JobPlan, Timer, changed, is_job_rule, plan_of
from progress.living import a_step

LINES = [{"title": "Dust", "minutes": 10}, {"title": "Vacuum", "minutes": 15}]
ROOMS = a_step("rooms", repeats="FREQ=WEEKLY;BYDAY=SA", lines=LINES, stop_after=60)
NOW = datetime(2027, 1, 9, 10, tzinfo=UTC)


def lines(plan: JobPlan) -> list[tuple[str, str, int]]:
    return [(line.id, line.title, line.minutes) for line in plan.lines]


@pytest.mark.parametrize(
    ("rule", "is_job"),
    [
        ("FREQ=WEEKLY", True),
        ("FREQ=MONTHLY;BYDAY=1SA", True),
        ("FREQ=WEEKLY;INTERVAL=2;BYDAY=TU", True),
        ("FREQ=DAILY", False),
        ("FREQ=WEEKLY;BYDAY=MO,TH", False),
    ],
)
def test_a_job_falls_weekly_or_less_often(rule: str, *, is_job: bool) -> None:
    assert is_job_rule(rule) is is_job


def test_a_shipped_job_has_its_lines_numbered_and_its_end() -> None:
    plan = plan_of(ROOMS)
    assert lines(plan) == [("1", "Dust", 10), ("2", "Vacuum", 15)]
    assert (plan.stop_after, plan.minutes) == (60, 25)


def test_a_job_without_an_end_ends_when_its_minutes_are_over() -> None:
    assert plan_of(a_step("desk", repeats="FREQ=WEEKLY", minutes=15)).stop_after == 15
    assert plan_of(a_step("none", repeats="FREQ=WEEKLY", minutes=0)).stop_after is None


def test_lines_keep_their_ids_and_a_removed_one_is_never_given_again() -> None:
    one = changed(plan_of(ROOMS), [("2", "Vacuum the hall", 20), (None, "Mop", 10), ("1", "Dust", 10)], 45)
    assert lines(one) == [("2", "Vacuum the hall", 20), ("3", "Mop", 10), ("1", "Dust", 10)]
    without = changed(one, [("1", "Dust", 10)], None)
    assert lines(changed(without, [("1", "Dust", 10), (None, "Sweep", 5)], None))[-1] == ("4", "Sweep", 5)


@pytest.mark.parametrize(
    ("wanted", "stop_after", "said"),
    [
        ([("7", "Dust", 10)], 60, "no line “7”"),
        ([("1", "Dust", 10), ("1", "Dust", 10)], 60, "twice"),
        ([(None, "  ", 10)], 60, "a few words"),
        ([(None, "x" * 201, 10)], 60, "200 characters"),
        ([(None, "Dust", 2000)], 60, "0 to 1440, not 2000"),
        ([(None, "Dust", 10)] * (MOST_LINES + 1), 60, "at most 40 lines"),
        ([], 0, "1 to 1440 minutes, not after 0"),
    ],
)
def test_lines_that_cannot_be_are_refused_with_the_reason(
    wanted: list[tuple[str | None, str, int]], stop_after: int, said: str
) -> None:
    with pytest.raises(Malformed, match=said):
        changed(plan_of(ROOMS), wanted, stop_after)


@pytest.mark.parametrize("stop_after", [1, 1440, None])
def test_the_limits_of_a_job_can_be_kept(stop_after: int | None) -> None:
    most = [(None, "Dust", 0), (None, "x" * 200, 1440), *[(None, "Mop", 1)] * (MOST_LINES - 2)]
    one = changed(plan_of(ROOMS), most, stop_after)
    assert [(title, minutes) for _, title, minutes in lines(one)] == [
        (title, minutes) for _, title, minutes in most
    ]
    assert one.stop_after == stop_after


@pytest.mark.parametrize(
    ("passed", "minutes"),
    [(0, 60), (1, 60), (60, 59), (3540, 1), (3599, 1), (3600, 0), (9999, 0), (-500, 60)],
)
def test_the_time_left_follows_from_the_instant_of_the_start(passed: int, minutes: int) -> None:
    assert Timer(NOW, 60).minutes_left(NOW + timedelta(seconds=passed)) == minutes
