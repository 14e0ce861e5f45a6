"""Exact paces of whole courses: which courses they are told of, and that households live by them."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import numpy as np
import pytest

from coach.coaching.library import find_course
from coach.course.model import Course, Hold, Settles, Step
from coach.errors import Malformed
from coach.pace.block import fresh
from coach.pace.conduct import Same
from coach.pace.exact import exact, in_turn
from coach.pace.falls import days_from
from coach.pace.following import Follower
from coach.pace.rulebook import rulebook_at
from pace.random_homes import START, random_course

SHIPPED = find_course("three-weeks")
NEVER = 10_000


def waiting(*rules: tuple[int, int], at_once: int = 1) -> Course:
    steps = tuple(Step(f"step-{at}", "A step", settles=Settles(*rule)) for at, rule in enumerate(rules))
    return Course("Some", steps, at_once=at_once)


def test_the_shipped_course_takes_three_weeks_with_everything_kept_and_four_at_the_gentle_pace() -> None:
    for pace, days in (("standard", 21), ("gentle", 28)):
        found = exact(SHIPPED, pace, 1.0)
        assert found.mean == days
        assert found.quantiles() == {"p10": days, "p50": days, "p80": days, "p90": days}


def test_the_means_of_steps_add_up_and_the_chances_with_them() -> None:
    found = exact(waiting((2, 3), (3, 4), (1, 1)), "standard", 0.5)
    assert found.mean == pytest.approx(sum(one.mean or 0 for one in found.steps), rel=1e-12)
    assert found.mean == pytest.approx(found.days.mean, rel=1e-9)
    assert found.days.chances.sum() == pytest.approx(1, abs=1e-12)
    # Two kept of one and then one kept of one take two days with chance 1/4, three with chance 2/8.
    two = exact(waiting((1, 1), (1, 1)), "standard", 0.5)
    assert two.days.chances[:5] == pytest.approx([0, 0, 1 / 4, 1 / 4, 3 / 16])


def test_who_never_keeps_a_day_is_never_through() -> None:
    found = exact(SHIPPED, "standard", 0.0)
    assert found.mean is None
    assert set(found.quantiles().values()) == {None}
    assert {one.mean for one in found.steps} == {None}


def _unhindered(random: Random) -> Course:
    """A random course of daily waiting steps, of which neither a hold nor a lapse keeps one back."""
    course = random_course(random)
    steps = [
        replace(step, repeats="FREQ=DAILY", settles=Settles(min(step.settles.kept, 4), 6))
        if step.waits
        else step
        for step in course.steps
    ]
    return replace(course, steps=tuple(steps), at_once=1, hold=Hold(0.0, 1), lapse_after=NEVER)


def _gaps(course: Course, seed: int) -> set[int]:
    """The days between the settling of a waiting step and the coming of the next, in simulated households."""
    days, households = 120, 20
    rules = rulebook_at(course, "standard")
    first = next(at for at, step in enumerate(course.steps) if step.is_root)
    follower, block = Follower(rules, days_from(START, days), first), fresh(rules, households, days)
    arrived, settled = np.full((2, rules.size, households), -1)
    chances = Same(np.full(households, 0.6, np.float32))
    for now in follower.follow(block, chances, np.random.default_rng(seed)):
        arrived[np.arange(rules.size)[:, None] == now.opened.introduced] = now.day
        settled[now.closed.settled] = now.day
    found = set()
    for number in range(households):
        came, held = np.sort(arrived[rules.waits, number]), np.sort(settled[rules.waits, number])
        if came.size and (came >= 0).all() and (held >= 0).all():
            found |= {int(came[0]), *(came[1:] - held[:-1] - 1).tolist()}
    return found


def test_where_a_pace_is_told_every_waiting_step_comes_the_day_after_the_one_before_has_settled() -> None:
    told, kept_back = 0, 0
    for seed in range(100):
        course = _unhindered(Random(seed))  # noqa: S311  a story, not a secret
        try:
            in_turn(course, "standard")
        except Malformed:
            kept_back += _gaps(course, seed) - {0} != set()
            continue
        told += 1
        assert _gaps(course, seed) <= {0}
    assert told > 20
    assert kept_back > 20


@pytest.mark.parametrize(
    ("course", "says"),
    [
        (waiting((2, 3), at_once=2), "at_once"),
        (Course("None waits", (Step("one", "One", waits=False),)), "No step"),
        (Course("Weekly", (Step("one", "One", repeats="FREQ=WEEKLY;BYDAY=MO"),)), "every day"),
        (Course("Kept back", (Step("one", "One", waits=False), Step("two", "Two", after=("one",)))), "“one”"),
        (Course("Later", (Step("one", "One", waits=False), Step("two", "Two"))), "“two” settles later"),
    ],
)
def test_other_courses_are_refused_with_what_keeps_them_from_it(course: Course, says: str) -> None:
    with pytest.raises(Malformed, match=says):
        exact(course, "standard", 0.8)


def test_what_comes_after_the_last_waiting_step_keeps_nothing_back() -> None:
    later = (
        Step("two", "Two", after=("three",), waits=False),
        Step("three", "Three", waits=False),
    )
    found = exact(Course("Followed", (Step("one", "One", settles=Settles(2, 3)), *later)), "standard", 0.5)
    assert [one.step for one in found.steps] == ["one"]
    assert found.mean == pytest.approx(14 / 3)


def test_a_step_that_names_all_seven_weekdays_is_a_daily_one() -> None:
    every = "FREQ=WEEKLY;BYDAY=MO,TU,WE,TH,FR,SA,SU"
    found = exact(
        Course("Named", (Step("one", "One", repeats=every, settles=Settles(2, 3)),)), "standard", 0.5
    )
    assert found.mean == pytest.approx(14 / 3)


@pytest.mark.parametrize("adherence", [-0.1, 1.1, float("nan"), float("inf")])
def test_what_is_no_chance_is_refused(adherence: float) -> None:
    with pytest.raises(Malformed, match="from 0 to 1"):
        exact(SHIPPED, "standard", adherence)


def test_a_pace_the_course_has_not_is_refused() -> None:
    with pytest.raises(Malformed, match="quick"):
        exact(SHIPPED, "quick", 0.8)
