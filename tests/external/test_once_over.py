"""The weekly hour of the shipped course against what households commonly do.

Source: common practice, no source: six jobs of ten minutes make the weekly hour
for the main rooms; desk work takes 15 minutes a week.
"""

from __future__ import annotations

from coach.coaching.library import find_course
from coach.course.recurrence import is_weekly_at_most
from coach.week.rules.jobs import plan_of

COURSE = find_course("three-weeks")


def test_six_lines_of_ten_minutes_make_the_hour_of_the_main_rooms() -> None:
    step = COURSE.step("once-over")
    assert step is not None
    plan = plan_of(step)
    assert [line.minutes for line in plan.lines] == [10] * 6
    assert plan.minutes == step.minutes == plan.stop_after == 60
    assert is_weekly_at_most(step.repeats)


def test_desk_work_takes_a_quarter_of_an_hour_a_week() -> None:
    step = COURSE.step("desk-work")
    assert step is not None
    assert (step.minutes, plan_of(step).stop_after) == (15, 15)
