"""The demo household has something of everything on the day a visitor looks, whichever weekday that is."""

from __future__ import annotations

from collections import Counter
from datetime import UTC, date, datetime, timedelta

import pytest

from coach.coaching.demo import DAYS_BEFORE, HARD, MINUTES, tern_street, their_day
from coach.coaching.library import find_course
from coach.course.recurrence import weekdays
from coach.progress.csvform import read_log, write_log
from coach.progress.log_check import check_log
from coach.progress.replay import each_day
from coach.progress.standing import Stand, Standing

COURSE = find_course("three-weeks")
DAYS = [date(2027, 2, 1) + timedelta(days=ahead) for ahead in range(7)]


def lived(today: date) -> list[Standing]:
    """Tern Street's days up to one."""
    return list(each_day(COURSE, tern_street(COURSE, today), today))


@pytest.mark.parametrize("today", DAYS, ids=lambda day: f"{day:%a}")
def test_on_the_day_a_visitor_looks_there_is_a_step_in_every_state_and_the_list_grows_back(
    today: date,
) -> None:
    days = lived(today)
    now = days[-1]
    assert now.day == DAYS_BEFORE + 1
    assert {step.state for step in now.steps.values()} == set(Stand)
    assert now.phase == "rebuilding"
    assert now.resting
    assert "lapsed" in {day.phase for day in days}


@pytest.mark.parametrize("today", DAYS, ids=lambda day: f"{day:%a}")
def test_settled_and_practising_steps_stand_on_the_list_and_all_weekly_jobs_have_come(today: date) -> None:
    now = lived(today)[-1]
    listed = {now.steps[step].state for step in now.checklist}
    assert listed >= {Stand.SETTLED, Stand.PRACTISING}
    assert now.steps[HARD].due >= 10
    assert now.steps[HARD].state is Stand.PRACTISING
    weekly = [step for step in COURSE.steps if not step.waits]
    assert all(now.steps[step.id].introduced_on for step in weekly)
    assert any(now.steps[step.id].state is not Stand.RESTING for step in weekly)


def test_the_minutes_are_enough_for_the_whole_course_but_on_one_weekday() -> None:
    due = Counter[str]()
    for step in COURSE.steps:
        for weekday in weekdays(step.repeats) or MINUTES:
            due[weekday] += step.minutes
    assert [weekday for weekday, there in MINUTES.items() if due[weekday] > there] == ["TU"]


def test_the_log_is_one_that_can_be_read_in() -> None:
    log = read_log(write_log(tern_street(COURSE, DAYS[0])))
    assert check_log(log, COURSE, DAYS[0]) == ()


def test_after_midnight_it_is_still_the_day_before_until_three() -> None:
    assert their_day(datetime(2026, 11, 28, 2, 59, tzinfo=UTC)) == date(2026, 11, 27)
    assert their_day(datetime(2026, 11, 28, 3, tzinfo=UTC)) == date(2026, 11, 28)
