"""Households simulated many at once stand, on every day, where a replay of their logs says they stand."""

from __future__ import annotations

import io
from random import Random
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest

from coach.course.model import Course, Lesson, Settles, Step
from coach.pace.closing import Marks
from coach.pace.conduct import Same
from coach.pace.falls import days_from
from coach.pace.following import Day
from coach.progress.csvform import read_log, write_log
from coach.progress.replay import each_day
from coach.progress.standing import replay_json
from pace.random_homes import START, Chronicle, Wishes, random_course, random_start, random_wishes

if TYPE_CHECKING:
    from pace.random_homes import Lived

DAYS = 80
HOUSEHOLDS = 5
LOTS = 20


def chronicle(seed: int) -> tuple[Random, Course, Chronicle]:
    random = Random(seed)  # noqa: S311  a story, not a secret
    course = random_course(random)
    wishes: Wishes = random_wishes(random, course, HOUSEHOLDS, DAYS)
    return random, course, Chronicle(course, days_from(random_start(random), DAYS), wishes)


def check(course: Course, lived: Lived) -> int:
    """Replay the logs as written to CSV and compare every day; how many days that were."""
    compared = 0
    for rows, told in zip(lived.rows, lived.told, strict=True):
        log = read_log(io.StringIO(write_log(rows)))
        standings = each_day(course, log.rows, log.rows[0].date.fromisoformat(str(told[-1]["on"])))
        for theirs, ours in zip(map(replay_json, standings), told, strict=True):
            assert as_compared(theirs) == ours
            compared += 1
    return compared


def as_compared(standing: dict[str, Any]) -> dict[str, Any]:
    """What of a replayed standing is looked at: all but the lesson and the day's number."""
    lapsed = standing["phase"] == "lapsed"
    return {
        "on": standing["on"],
        "phase": standing["phase"],
        "introduced": standing["introduced"],
        "checklist": None if lapsed else set(standing["checklist"]),
        "steps": standing["steps"],
    }


@pytest.mark.parametrize("part", range(5))
def test_five_hundred_simulated_households_on_random_courses_agree_with_replay_on_every_day(
    part: int,
) -> None:
    compared = 0
    for seed in range(part * LOTS, (part + 1) * LOTS):
        random, course, book = chronicle(seed)
        adherence = np.array([random.uniform(0.2, 1.0) for _ in range(HOUSEHOLDS)], np.float32)
        chances = Same(adherence, begins=random.choice((0.0, 0.05, 0.2)), ends=random.choice((0.1, 0.4)))
        compared += check(course, book.live(chances, np.random.default_rng(seed)))
    assert compared == LOTS * HOUSEHOLDS * DAYS


def test_a_rule_that_looks_at_more_outcomes_than_one_number_holds_agrees_too() -> None:
    step = Step("one", "One", settles=Settles(33, 70), lessons=(Lesson("One", "Text."),))
    course, days = Course("Long", (step,)), days_from(START, 300)
    nobody = np.zeros((300, 40), bool)
    wishes = Wishes(0, "standard", np.full(40, -1), np.full(40, 1 << 40), nobody[:1], nobody)
    book = Chronicle(course, days, wishes)
    lived = book.live(Same(np.full(40, 0.4, np.float32)), np.random.default_rng(5))
    assert check(course, lived) == 300 * 40
    assert ((book.held > 70) & (book.held < 299)).sum() > 5


def test_lines_left_unmarked_and_excused_ones_close_as_replay_has_them() -> None:
    for seed in range(1000, 1030):
        _, course, book = chronicle(seed)
        generator = np.random.default_rng(seed)
        for day in range(book.follower.reach):
            book.before()
            comes = generator.random(HOUSEHOLDS) < 0.5
            opened = book.follower.opened(book.block, day, book.wishes.paused[day], comes)
            book.opened(opened, day)
            lines = book.block.open & opened.live & ((generator.random(HOUSEHOLDS) < 0.7) | opened.returned)
            chosen = generator.integers(0, 4, lines.shape)
            kept, missed, excused = (lines & (chosen == what) for what in range(3))
            marks = Marks(kept, missed, (kept | missed | excused).any(axis=0), excused)
            book.marked(marks, day)
            book.closed(Day(day, opened, ~comes, marks, book.follower.closed(book.block, day, opened, marks)))
        assert check(course, book.lived) == HOUSEHOLDS * DAYS
