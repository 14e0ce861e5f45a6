"""The invented homes of a group follow from the rules, and hold what a coach would want to see."""

from __future__ import annotations

from collections import Counter
from datetime import date, timedelta
from functools import cache
from itertools import islice
from typing import TYPE_CHECKING

from coach.coaching.invented import NAMES, WEEKS, homes
from coach.coaching.library import find_course
from coach.ground.groups import BY_NAME, COUNTED, NOTHING
from coach.progress.csvform import read_log, write_log
from coach.progress.log import MARKING
from coach.progress.log_check import check_log
from coach.progress.replay import each_day

if TYPE_CHECKING:
    from coach.coaching.invented import InventedHome
    from coach.progress.standing import Standing

COURSE = find_course("three-weeks")
TODAY = date(2027, 4, 7)


@cache
def told() -> tuple[InventedHome, ...]:
    return tuple(homes(COURSE, TODAY))


@cache
def days(number: int) -> tuple[Standing, ...]:
    return tuple(each_day(COURSE, told()[number].log, TODAY))


def test_there_are_a_hundred_and_twenty_of_them_with_names_of_their_own() -> None:
    assert len(told()) == 120
    assert len(set(NAMES)) == 120


def test_they_are_the_same_whenever_they_are_asked_for() -> None:
    again = tuple(islice(homes(COURSE, TODAY), 2))
    assert again == told()[:2]


def test_every_log_is_one_that_an_import_takes() -> None:
    for home in told()[::3]:
        assert not check_log(read_log(write_log(home.log)), COURSE, TODAY)


def test_marks_stand_on_what_the_rules_put_on_the_list_that_day() -> None:
    for number in range(10):
        lists = {day.on: set(day.checklist) for day in days(number)}
        marks = [row for row in told()[number].log if row.what in MARKING]
        assert marks
        assert all(row.step in lists[row.date] for row in marks)


def test_they_begin_in_three_lots_each_on_a_monday() -> None:
    starts = Counter(home.started for home in told())
    assert all(start.weekday() == 0 for start in starts)
    assert min(starts) == date(2027, 4, 5) - timedelta(weeks=WEEKS[0])
    assert list(starts.values()) == [40, 40, 40]
    assert all(home.log[-1].date < TODAY for home in told())


def test_all_levels_of_what_may_be_seen_are_among_them() -> None:
    levels = Counter(home.level for home in told())
    assert levels[COUNTED] > levels[BY_NAME] > levels[NOTHING] > 0


def test_some_stall_some_lapse_some_come_back_and_some_are_through() -> None:
    phases = Counter(days(number)[-1].phase.value for number in range(40))
    assert phases["steady"] >= 5
    assert phases["ramping"] >= 3
    assert phases["lapsed"] >= 3
    ever = [{day.phase.value for day in days(number)} for number in range(40)]
    assert sum("rebuilding" in seen for seen in ever) >= 3
    states = Counter(step.state.value for number in range(40) for step in days(number)[-1].steps.values())
    assert states["practising"] >= 10
    assert states["set-aside"] >= 1
