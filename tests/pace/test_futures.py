"""Futures followed to their ends: how days go by what is believed, and when the last waiting step settles."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

import numpy as np
import pytest

from coach.coaching.library import find_course
from coach.pace.believed import Believed, believed_of
from coach.pace.block import fresh
from coach.pace.evidence import KINDS, Kind, kind_of
from coach.pace.falls import Falls
from coach.pace.following import Follower
from coach.pace.futures import NEVER, Futures
from coach.pace.posterior import WEEKDAYS, Drawn
from coach.pace.present import present, rulebook_of
from coach.pace.priors import PRIORS
from coach.pace.rulebook import rulebook_at
from coach.progress.journal import Version, journal
from coach.progress.replay import begin, open_on
from progress.living import a_course, a_step, days, marks, on, start

if TYPE_CHECKING:
    from collections.abc import Sequence

    from coach.course.model import Course
    from coach.progress.log import Row

COURSE = find_course("three-weeks")
STARTED = date(2027, 1, 4)
SURE, NEVER_KEPT = 60.0, -60.0
DAYS = 60


def drawn(levels: Sequence[float], begins: float = 0.0, ends: float = 1.0) -> Drawn:
    many = len(levels)
    return Drawn(
        np.array(levels),
        np.zeros((KINDS, many)),
        np.zeros((WEEKDAYS, many)),
        np.full(many, begins),
        np.full(many, ends),
    )


def futures(found: Drawn, pace: str = "standard", *, quiet: bool = False) -> Futures:
    dates = [STARTED + timedelta(days=day) for day in range(DAYS + 1)]
    follower, many = Follower(rulebook_at(COURSE, pace), dates), found.level.size
    believed = Believed(
        found, [kind_of(step) for step in COURSE.steps], [day.weekday() for day in dates], 0.0
    )
    block = fresh(follower.rules, many, DAYS)
    return Futures(follower, block, believed, np.full(many, quiet), np.random.default_rng(1))


@pytest.mark.parametrize(("pace", "day"), [("standard", 21), ("gentle", 28)])
def test_with_everything_kept_all_are_done_on_the_day_the_course_says(pace: str, day: int) -> None:
    going = futures(drawn([SURE] * 3), pace)
    going.follow(0, [False] * DAYS, DAYS)
    assert going.settled_on.tolist() == [day - 1] * 3


def test_one_that_keeps_nothing_is_never_done() -> None:
    going = futures(drawn([SURE, NEVER_KEPT, SURE]))
    going.follow(0, [False] * DAYS, DAYS)
    assert going.settled_on.tolist() == [20, NEVER, 20]


def test_those_who_are_done_are_left_behind_and_the_others_go_on_as_they_are() -> None:
    """Slower ones finish among swift ones as they do by themselves, but for chance: here with none."""
    going = futures(drawn([SURE, SURE, NEVER_KEPT, SURE]))
    going.follow(0, [False] * DAYS, DAYS)
    assert going.settled_on.tolist() == [20, 20, NEVER, 20]


def test_following_ends_once_enough_are_done() -> None:
    going = futures(drawn([SURE] * 9 + [1.5]))
    going.follow(0, [False] * DAYS, DAYS, enough=0.9)
    assert sorted(going.settled_on.tolist()) == [20] * 9 + [NEVER]


def test_paused_days_put_the_end_off_by_as_many() -> None:
    paused = [3 <= day < 8 for day in range(DAYS)]
    going = futures(drawn([SURE] * 2))
    going.follow(0, paused, DAYS)
    assert going.settled_on.tolist() == [25] * 2


def test_whoever_is_quiet_and_stays_so_is_never_done() -> None:
    going = futures(drawn([SURE] * 2, ends=0.0), quiet=True)
    going.follow(0, [False] * DAYS, DAYS)
    assert going.settled_on.tolist() == [NEVER] * 2


def test_whoever_is_quiet_may_be_back_tomorrow() -> None:
    going = futures(drawn([SURE] * 2), quiet=True)
    going.follow(0, [False] * DAYS, DAYS)
    assert going.settled_on.tolist() == [20] * 2


def test_a_chance_is_that_of_level_kind_and_weekday_together() -> None:
    found = drawn([0.5, -200.0, 200.0])
    found.kinds[Kind.SELDOM] = 0.25
    found.weekdays[2] = -1.0
    believed = Believed(found, [Kind.MORNING, Kind.SELDOM], [0, 2], 0.0)
    assert believed.kept(0)[:, 0] == pytest.approx([1 / (1 + np.exp(-0.5)), 1 / (1 + np.exp(-0.75))])
    assert believed.kept(1)[:, 0] == pytest.approx([1 / (1 + np.exp(0.5)), 1 / (1 + np.exp(0.25))])
    assert believed.kept(1)[:, 1:] == pytest.approx(np.array([[0.0, 1.0]] * 2))


def test_what_is_believed_goes_by_the_kinds_of_the_steps_the_weekdays_and_the_drift_of_the_priors() -> None:
    believed = believed_of(drawn([1.0]), COURSE.steps[6:9], [STARTED, STARTED + timedelta(days=6)])
    assert believed.kinds == [Kind.EVENING, Kind.SELDOM, Kind.SELDOM]
    assert (believed.weekdays, believed.drift) == ([0, 6], PRIORS.drift)


def test_whoever_has_marked_today_is_not_quiet_today() -> None:
    """Two lines, of which one is marked: the other goes by chance, though every day else would be quiet."""
    course = a_course(*(a_step(name, settles={"kept": 3, "of": 3}) for name in ("bed", "table")), at_once=2)
    rows = [*start(), *marks("kept", [1, 2], "bed", "table"), *marks("kept", [3], "bed")]
    assert [settling_today(course, written) for written in (rows, rows[:-1])] == [0, NEVER]


def test_a_line_that_is_excused_today_is_left_at_that() -> None:
    course = a_course(a_step("bed", settles={"kept": 3, "of": 3}))
    rows = start() + marks("kept", [1, 2], "bed")
    assert settling_today(course, [*rows, *marks("kept", [3], "bed")]) == 0
    assert settling_today(course, [*rows, *marks("excused", [3], "bed")]) == NEVER


def test_a_line_that_is_missed_today_comes_back_when_it_falls_again() -> None:
    """A weekly one that stayed open would be kept tomorrow."""
    course = a_course(a_step("linen", repeats="FREQ=WEEKLY;BYDAY=WE", settles={"kept": 1, "of": 1}))
    rows = start(step="linen")
    assert settling_today(course, rows, quiet=0.0) == 0
    assert settling_today(course, [*rows, *marks("missed", [3], "linen")], quiet=0.0) == NEVER


def test_a_line_of_which_nothing_is_said_goes_by_what_is_believed_of_the_weekday_of_today() -> None:
    """Nothing is kept on Wednesdays, as the third day is; a line that stayed open would be tomorrow."""
    course = a_course(a_step("linen", repeats="FREQ=WEEKLY;BYDAY=WE", settles={"kept": 1, "of": 1}))
    assert settling_today(course, start(step="linen"), quiet=0.0, seldom=on(3).weekday()) == NEVER


def settling_today(course: Course, rows: Sequence[Row], quiet: float = 1.0, seldom: int | None = None) -> int:
    """On which of six days from the third on all is done, where every line is kept but on quiet days.

    Args:
        course: What is followed.
        rows: The log up to the third day.
        quiet: The chance that a quiet time begins, each day.
        seldom: A weekday on which nothing is kept.
    """
    book = journal([Version(date.min, course)], rows)
    state = begin(book)
    opening = open_on(state, book, on(3))
    rules, ahead = rulebook_of(state), [on(day) for day in days(3, 8)]
    falls = Falls(rules.repeats, ahead)
    now = present(state, opening, rules, falls, 1, len(ahead) - 1)
    found = drawn([SURE], begins=quiet, ends=0.0)
    if seldom is not None:
        found.weekdays[seldom] = 2 * NEVER_KEPT
    believed = believed_of(found, course.steps, ahead)
    follower = Follower(rules, ahead, None, falls)
    going = Futures(follower, now.block, believed, np.array([False]), np.random.default_rng(3))
    going.end_today(now)
    going.follow(1, [False] * len(ahead), len(ahead) - 1)
    return int(going.settled_on[0])


def test_levels_drift_from_night_to_night_and_nothing_else_does() -> None:
    found = drawn([1.0] * 5000, begins=0.2, ends=0.3)
    believed = Believed(found, [Kind.MORNING], [0], 0.1)
    generator = np.random.default_rng(2)
    for _ in range(25):
        believed.pass_night(generator.bit_generator)
    assert believed.drawn.level.mean() == pytest.approx(1.0, abs=0.03)
    assert believed.drawn.level.std() == pytest.approx(0.5, rel=0.05)
    assert found.level.tolist() == [1.0] * 5000
    assert believed.quiet_begins()[0] == pytest.approx(0.2)
    assert believed.quiet_ends()[0] == pytest.approx(0.3)
